-- Share of students who meet each outcome's bar, small groups hidden.
select
    o.term, -- id of the term
    o.section, -- class section, or all for the sections together
    o.outcome, -- id of the outcome
    o.statement, -- what a student can do
    if(o.students >= c.minimum_students, o.students, null) as students, -- students with enough evidence
    if(o.students >= c.minimum_students, o.meeting, null) as meeting, -- students who meet the bar
    if(o.students >= c.minimum_students, o.share, null) as share, -- share who meet the bar, 0 to 1
    if(o.students >= c.minimum_students, o.share_low, null) as share_low, -- lower end of its 95 % interval
    if(o.students >= c.minimum_students, o.share_high, null) as share_high, -- upper end of its 95 % interval
    if(o.students >= c.minimum_students and (o.too_little = 0 or o.too_little >= c.minimum_students), o.too_little, null) as too_little, -- students with too little evidence, in no share; none, or as many as a group needs
    o.bar, -- share of questions to get right, 0 to 1
    o.target, -- share of students who should meet the bar, 0 to 1
    o.fewest, -- fewest answered questions that count as evidence
    o.evidence, -- settings or quizzes that count; empty for all
    if(o.students >= c.minimum_students, o.share_bar_lower, null) as share_bar_lower, -- share if the bar were ten points lower
    if(o.students >= c.minimum_students, o.share_bar_lower_low, null) as share_bar_lower_low, -- lower end of its 95 % interval
    if(o.students >= c.minimum_students, o.share_bar_lower_high, null) as share_bar_lower_high, -- upper end of its 95 % interval
    if(o.students >= c.minimum_students, o.share_bar_higher, null) as share_bar_higher, -- share if the bar were ten points higher
    if(o.students >= c.minimum_students, o.share_bar_higher_low, null) as share_bar_higher_low, -- lower end of its 95 % interval
    if(o.students >= c.minimum_students, o.share_bar_higher_high, null) as share_bar_higher_high, -- upper end of its 95 % interval
    if(o.students >= c.minimum_students, o.share_note, 'hidden: fewer than ' || c.minimum_students || ' students') as note -- why figures are missing
from main.outcome_results as o
cross join store.course as c
where o.section = 'all' or o.students + o.too_little >= c.minimum_students
