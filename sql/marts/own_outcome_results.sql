-- Share of students who meet each outcome's bar, small groups hidden.
with placed as (
    select
        r.term, r.outcome, r.section, r.shown,
        -- Two bars tell how many students stand between them, and sections tell of each other.
        r.shown and r.section = 'all' and abs(r.share_bar_lower - r.share) * r.students not between 0.5 and c.minimum_students - 0.5 as lower_shown,
        r.shown and r.section = 'all' and abs(r.share_bar_higher - r.share) * r.students not between 0.5 and c.minimum_students - 0.5 as higher_shown
    from main.outcome_results as r
    cross join store.course as c
)
select
    o.term, -- id of the term
    o.section, -- class section, or all for the sections together
    o.outcome, -- id of the outcome
    o.statement, -- what a student can do
    if(p.shown, o.students, null) as students, -- students with enough evidence; those with too little are in no share
    if(p.shown, o.meeting, null) as meeting, -- students who meet the bar
    if(p.shown, o.share, null) as share, -- share who meet the bar, 0 to 1
    if(p.shown, o.share_low, null) as share_low, -- lower end of its 95 % interval
    if(p.shown, o.share_high, null) as share_high, -- upper end of its 95 % interval
    o.bar, -- share of questions to get right, 0 to 1
    o.target, -- share of students who should meet the bar, 0 to 1
    o.fewest, -- fewest answered questions that count as evidence
    o.evidence, -- settings or quizzes that count; empty for all
    if(p.lower_shown, o.share_bar_lower, null) as share_bar_lower, -- share if the bar were ten points lower, of all sections together; none where it is another for fewer students than the limit
    if(p.lower_shown, o.share_bar_lower_low, null) as share_bar_lower_low, -- lower end of its 95 % interval
    if(p.lower_shown, o.share_bar_lower_high, null) as share_bar_lower_high, -- upper end of its 95 % interval
    if(p.higher_shown, o.share_bar_higher, null) as share_bar_higher, -- share if the bar were ten points higher; likewise
    if(p.higher_shown, o.share_bar_higher_low, null) as share_bar_higher_low, -- lower end of its 95 % interval
    if(p.higher_shown, o.share_bar_higher_high, null) as share_bar_higher_high, -- upper end of its 95 % interval
    if(p.shown, o.share_note, 'hidden: fewer than ' || c.minimum_students || ' students, or so that no such count can be worked out') as note -- why figures are missing
from main.outcome_results as o
inner join placed as p on o.term = p.term and o.outcome = p.outcome and o.section = p.section
cross join store.course as c
where o.section = 'all' or o.students + o.too_little >= c.minimum_students
