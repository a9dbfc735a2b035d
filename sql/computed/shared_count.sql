-- Every count that everyone may see, hidden ones kept as empty rows.
select
    cast(null as varchar) as subject, -- wrong: right and wrong first tries; outcome: students by outcome
    cast(null as varchar) as term, -- id of the term
    cast(null as varchar) as setting, -- practice, quiz or exam; empty for outcomes
    cast(null as varchar) as topic, -- id of the topic or outcome, empty for all topics
    cast(null as integer) as week_from, -- first teaching week, 0 for all weeks
    cast(null as integer) as week_to, -- last teaching week, 0 for all weeks
    cast(null as double) as total, -- first tries, or students with enough evidence
    cast(null as double) as part, -- of these wrong, or meeting the bar
    cast(null as double) as rest, -- of these right, or not meeting it
    cast(null as double) as aside, -- students with too little evidence
    cast(null as double) as rate, -- part over total in whole percents, 0 to 1
    cast(null as double) as rate_low, -- lower end of its 95 % interval, rounded down to a percent
    cast(null as double) as rate_high, -- upper end, rounded up
    cast(null as varchar) as code, -- what stands in place of a rate near 0 or 1
    cast(null as double) as ceiling, -- the count that the code does not exceed
    cast(null as integer) as students_at_least, -- students behind it, rounded down to a multiple of the limit
    cast(null as varchar) as as_of -- earlier edition from which the figures are carried over
where false
