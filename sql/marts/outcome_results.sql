-- Share of students who meet an outcome's bar, by class section and for all sections together.
select
    s.term, -- id of the term
    s.section, -- class section, or all
    s.outcome, -- id of the outcome
    o.statement, -- what a student can do
    s.students, -- students with enough evidence
    s.meeting, -- students who meet the bar
    s.share, -- share who meet the bar, 0 to 1
    s.share_low, -- lower end of its 95 % interval
    s.share_high, -- upper end of its 95 % interval
    coalesce(o.attempt, 'first') as grain, -- the try that the course counts; `outcome_by_try` has both
    s.share_note, -- why there is no share
    s.too_little, -- students with too little evidence, in no share
    o.bar, -- share of questions to get right, 0 to 1
    o.fewest, -- fewest answered questions that count as evidence
    o.evidence, -- settings or quizzes that count; empty for all
    o.attempt, -- first or last: which attempt counts
    o.target, -- share of students who should meet the bar, 0 to 1
    s.share_bar_lower, -- share if the bar were ten points lower
    s.share_bar_lower_low, -- lower end of its 95 % interval
    s.share_bar_lower_high, -- upper end of its 95 % interval
    s.share_bar_higher, -- share if the bar were ten points higher
    s.share_bar_higher_low, -- lower end of its 95 % interval
    s.share_bar_higher_high, -- upper end of its 95 % interval
    s.shown -- whether its figures are of enough students and tell of no fewer by subtraction
from computed.outcome_share as s
inner join store.outcome as o on s.outcome = o.outcome
