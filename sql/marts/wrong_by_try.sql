-- Share wrong at first and at last tries, by term, week, class section, topic, outcome and question.
select
    cast(null as varchar) as grain, -- first or last try of a student at a question
    cast(null as varchar) as term, -- id of the term
    cast(null as varchar) as setting, -- practice, quiz or exam; no row mixes settings
    cast(null as varchar) as grouped_by, -- term, week, section, topic, topic and week, outcome or item
    cast(null as integer) as week, -- teaching week assigned, where grouped by it
    cast(null as varchar) as section, -- class section, where grouped by it
    cast(null as varchar) as topic, -- id of the topic, where grouped by it
    cast(null as varchar) as outcome, -- id of the outcome, where grouped by it
    cast(null as varchar) as item, -- id of the question, where grouped by it
    cast(null as integer) as students, -- students behind the rate
    cast(null as integer) as answers, -- tries judged right or wrong
    cast(null as integer) as wrong, -- of these, wrong
    cast(null as double) as rate, -- share wrong, 0 to 1
    cast(null as double) as rate_low, -- lower end of its 95 % interval
    cast(null as double) as rate_high, -- upper end of its 95 % interval
    cast(null as varchar) as rate_note, -- why there is no interval
    cast(null as boolean) as shown -- whether its figures are of enough students and tell of no fewer by subtraction
where false
