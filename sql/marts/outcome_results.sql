-- Share of students who meet an outcome's bar, by class section and for all sections together.
select
    cast(null as varchar) as term, -- id of the term
    cast(null as varchar) as section, -- class section, or all
    cast(null as varchar) as outcome, -- id of the outcome
    cast(null as varchar) as statement, -- what a student can do
    cast(null as integer) as students, -- students with enough evidence
    cast(null as integer) as meeting, -- students who meet the bar
    cast(null as double) as share, -- share who meet the bar, 0 to 1
    cast(null as double) as share_low, -- lower end of its 95 % interval
    cast(null as double) as share_high, -- upper end of its 95 % interval
    cast(null as varchar) as grain, -- the try that the course counts; `outcome_by_try` has both
    cast(null as varchar) as share_note, -- why there is no share
    cast(null as integer) as too_little, -- students with too little evidence, in no share
    cast(null as double) as bar, -- share of questions to get right, 0 to 1
    cast(null as integer) as fewest, -- fewest answered questions that count as evidence
    cast(null as varchar[]) as evidence, -- settings or quizzes that count; empty for all
    cast(null as varchar) as attempt, -- first or last: which attempt counts
    cast(null as double) as target, -- share of students who should meet the bar, 0 to 1
    cast(null as double) as share_bar_lower, -- share if the bar were ten points lower
    cast(null as double) as share_bar_lower_low, -- lower end of its 95 % interval
    cast(null as double) as share_bar_lower_high, -- upper end of its 95 % interval
    cast(null as double) as share_bar_higher, -- share if the bar were ten points higher
    cast(null as double) as share_bar_higher_low, -- lower end of its 95 % interval
    cast(null as double) as share_bar_higher_high, -- upper end of its 95 % interval
    cast(null as boolean) as shown -- whether its figures are of enough students and tell of no fewer by subtraction
where false
