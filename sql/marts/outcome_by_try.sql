-- Share of students who meet an outcome's bar at first and at last tries, by class section and pooled.
select
    cast(null as varchar) as grain, -- first or last try of a student at a question
    cast(null as boolean) as declared, -- whether the course counts this one
    cast(null as varchar) as term, -- id of the term
    cast(null as varchar) as section, -- class section, or all
    cast(null as varchar) as outcome, -- id of the outcome
    cast(null as varchar) as statement, -- what a student can do
    cast(null as integer) as students, -- students with enough evidence
    cast(null as integer) as meeting, -- students who meet the bar
    cast(null as double) as share, -- share who meet the bar, 0 to 1
    cast(null as double) as share_low, -- lower end of its 95 % interval
    cast(null as double) as share_high, -- upper end of its 95 % interval
    cast(null as integer) as too_little, -- students with too little evidence, in no share
    cast(null as double) as bar, -- share of questions to get right, 0 to 1
    cast(null as varchar) as share_note -- why there is no share
where false
