-- One learning outcome.
select
    cast(null as varchar) as outcome, -- id of the outcome
    cast(null as integer) as position, -- order in the course, from 1
    cast(null as varchar) as statement, -- what a student can do
    cast(null as double) as target, -- share of students who should meet the bar, 0 to 1
    cast(null as double) as bar, -- share of questions to get right, 0 to 1
    cast(null as varchar[]) as evidence, -- settings that count, such as quiz and exam; empty for all
    cast(null as varchar) as attempt, -- first or last: which attempt counts
    cast(null as integer) as fewest -- fewest answered questions that count as evidence
where false
