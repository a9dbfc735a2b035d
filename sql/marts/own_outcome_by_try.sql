-- Share of students who meet each outcome's bar at first and at last tries, class sections pooled, small groups hidden.
select
    o.grain, -- first or last try of a student at a question
    o.declared, -- whether the course counts this one
    o.term, -- id of the term
    o.outcome, -- id of the outcome
    o.statement, -- what a student can do
    o.bar, -- share of questions to get right, 0 to 1
    if(o.students >= c.minimum_students, o.students, null) as students, -- students with enough evidence
    if(o.students >= c.minimum_students, o.meeting, null) as meeting, -- students who meet the bar
    if(o.students >= c.minimum_students, o.share, null) as share, -- share who meet the bar, 0 to 1
    if(o.students >= c.minimum_students, o.share_low, null) as share_low, -- lower end of its 95 % interval
    if(o.students >= c.minimum_students, o.share_high, null) as share_high, -- upper end of its 95 % interval
    if(o.students >= c.minimum_students, o.share_note, 'hidden: fewer than ' || c.minimum_students || ' students') as note -- why figures are missing
from main.outcome_by_try as o
cross join store.course as c
where o.section = 'all'
