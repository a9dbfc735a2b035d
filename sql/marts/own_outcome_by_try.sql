-- Share of students who meet each outcome's bar at first and at last tries, class sections pooled, small groups hidden.
with again as (
    -- Students whose first and last tries at an outcome's questions are not the same.
    select d.term, d.outcome, count(*) as students
    from (
        select e.term, e.outcome, e.student
        from staging.outcome_evidence as e
        group by e.term, e.outcome, e.student
        having sum(if(e.grain = 'first', e.answered, -e.answered)) <> 0
            or sum(if(e.grain = 'first', e.correct, -e.correct)) <> 0
    ) as d
    group by d.term, d.outcome
),
told as (
    select o.grain, o.term, o.outcome, least(o.students, if(o.declared, null, g.students)) as behind
    from main.outcome_by_try as o
    left join again as g on o.term = g.term and o.outcome = g.outcome
    where o.section = 'all'
)
select
    o.grain, -- first or last try of a student at a question
    o.declared, -- whether the course counts this one
    o.term, -- id of the term
    o.outcome, -- id of the outcome
    o.statement, -- what a student can do
    o.bar, -- share of questions to get right, 0 to 1
    if(t.behind >= c.minimum_students, o.students, null) as students, -- students with enough evidence
    if(t.behind >= c.minimum_students, o.meeting, null) as meeting, -- students who meet the bar
    if(t.behind >= c.minimum_students, o.share, null) as share, -- share who meet the bar, 0 to 1
    if(t.behind >= c.minimum_students, o.share_low, null) as share_low, -- lower end of its 95 % interval
    if(t.behind >= c.minimum_students, o.share_high, null) as share_high, -- upper end of its 95 % interval
    if(t.behind >= c.minimum_students, o.share_note, 'hidden: fewer than ' || c.minimum_students || ' students, or so many who tried again') as note -- why figures are missing
from main.outcome_by_try as o
inner join told as t on o.grain = t.grain and o.term = t.term and o.outcome = t.outcome
cross join store.course as c
where o.section = 'all'
