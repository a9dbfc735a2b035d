-- Share of students who meet each outcome's bar, small groups hidden.
with sized as (
    select
        r.term, r.outcome, r.section, r.students, r.students < c.minimum_students as small,
        sum(if(r.section <> 'all' and r.students < c.minimum_students, r.students, 0)) over (
            partition by r.term, r.outcome
        ) between 1 and c.minimum_students - 1 as few
    from main.outcome_results as r
    cross join store.course as c
),
placed as (
    -- Hidden class sections that are few together could be told from all together: the smallest other goes, too.
    select
        s.term, s.outcome, s.section,
        not s.small and (s.section = 'all' or not s.few or row_number() over (
            partition by s.term, s.outcome, s.section = 'all', s.small order by s.students, s.section
        ) > 1) as shown
    from sized as s
)
select
    o.term, -- id of the term
    o.section, -- class section, or all for the sections together
    o.outcome, -- id of the outcome
    o.statement, -- what a student can do
    if(p.shown, o.students, null) as students, -- students with enough evidence
    if(p.shown, o.meeting, null) as meeting, -- students who meet the bar
    if(p.shown, o.share, null) as share, -- share who meet the bar, 0 to 1
    if(p.shown, o.share_low, null) as share_low, -- lower end of its 95 % interval
    if(p.shown, o.share_high, null) as share_high, -- upper end of its 95 % interval
    if(p.shown and (o.too_little = 0 or o.too_little >= c.minimum_students), o.too_little, null) as too_little, -- students with too little evidence, in no share; none, or as many as a group needs
    o.bar, -- share of questions to get right, 0 to 1
    o.target, -- share of students who should meet the bar, 0 to 1
    o.fewest, -- fewest answered questions that count as evidence
    o.evidence, -- settings or quizzes that count; empty for all
    if(p.shown, o.share_bar_lower, null) as share_bar_lower, -- share if the bar were ten points lower
    if(p.shown, o.share_bar_lower_low, null) as share_bar_lower_low, -- lower end of its 95 % interval
    if(p.shown, o.share_bar_lower_high, null) as share_bar_lower_high, -- upper end of its 95 % interval
    if(p.shown, o.share_bar_higher, null) as share_bar_higher, -- share if the bar were ten points higher
    if(p.shown, o.share_bar_higher_low, null) as share_bar_higher_low, -- lower end of its 95 % interval
    if(p.shown, o.share_bar_higher_high, null) as share_bar_higher_high, -- upper end of its 95 % interval
    if(p.shown, o.share_note, 'hidden: fewer than ' || c.minimum_students || ' students, or so that no such count can be worked out') as note -- why figures are missing
from main.outcome_results as o
inner join placed as p on o.term = p.term and o.outcome = p.outcome and o.section = p.section
cross join store.course as c
where o.section = 'all' or o.students + o.too_little >= c.minimum_students
