-- Share of students who meet an outcome's bar at first and at last tries, by class section and pooled.
select
    s.grain, -- first or last try of a student at a question
    s.grain = coalesce(o.attempt, 'first') as declared, -- whether the course counts this one
    s.term, -- id of the term
    s.section, -- class section, or all
    s.outcome, -- id of the outcome
    o.statement, -- what a student can do
    s.students, -- students with enough evidence
    s.meeting, -- students who meet the bar
    s.share, -- share who meet the bar, 0 to 1
    s.share_low, -- lower end of its 95 % interval
    s.share_high, -- upper end of its 95 % interval
    s.too_little, -- students with too little evidence, in no share
    o.bar, -- share of questions to get right, 0 to 1
    s.share_note -- why there is no share
from computed.outcome_try as s
inner join store.outcome as o on s.outcome = o.outcome
