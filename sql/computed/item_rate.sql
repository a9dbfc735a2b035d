-- Share right and relation to the rest of the questions, by question.
select
    cast(null as varchar) as term, -- id of the term
    cast(null as varchar) as setting, -- practice, quiz or exam
    cast(null as varchar) as item, -- id of the question
    cast(null as integer) as students, -- students behind the rate
    cast(null as integer) as answers, -- first tries judged right or wrong
    cast(null as integer) as right_answers, -- first tries judged right
    cast(null as double) as difficulty, -- share right, 0 to 1
    cast(null as double) as difficulty_low, -- lower end of its 95 % interval
    cast(null as double) as difficulty_high, -- upper end of its 95 % interval
    cast(null as double) as item_rest, -- correlation with the share right on the student's other questions
    cast(null as double) as item_rest_low, -- lower end of its 95 % interval
    cast(null as double) as item_rest_high, -- upper end of its 95 % interval
    cast(null as varchar) as item_rest_note, -- why there is no correlation
    cast(null as double) as discrimination, -- share right in the upper 27 % less that in the lower, by complete score
    cast(null as varchar) as discrimination_note, -- why there is none
    cast(null as varchar) as flag -- what to look at, one sentence
where false
