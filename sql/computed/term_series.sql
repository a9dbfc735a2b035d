-- Three or more terms on the questions that all of them had, over all topics and by topic.
select
    cast(null as varchar) as setting, -- practice, quiz or exam
    cast(null as varchar) as topic, -- id of the topic; null for all topics together
    cast(null as varchar) as term, -- id of the term
    cast(null as integer) as common_questions, -- questions that all terms had
    cast(null as integer) as students, -- students in this term
    cast(null as integer) as answers, -- first tries judged right or wrong
    cast(null as double) as rate, -- share wrong at the fixed mix of questions, 0 to 1
    cast(null as double) as rate_low, -- lower end of its 95 % interval
    cast(null as double) as rate_high, -- upper end of its 95 % interval
    cast(null as varchar) as rate_note, -- why there is no interval, or what to know
    cast(null as double) as p, -- p-value of no difference among all terms
    cast(null as double) as p_adjusted -- the same after Benjamini and Hochberg over the table
where false
