-- Terms compared on their common questions, in whole points, where both terms may be shown.
with topics as (
    select s.term, s.setting, s.topic as subject
    from computed.shared_count as s
    where s.subject = 'wrong' and s.week_from = 0 and s.part is not null and s.as_of is null
),
patterns as (
    select p.term, p.setting, p.pattern as subject
    from staging.shared_pattern as p
    where p.state = 'shown' and p.term is not null
),
open_to_all as (
    select 'topic' as kind, t.term, t.setting, t.subject from topics as t
    union all
    select 'pattern' as kind, p.term, p.setting, p.subject from patterns as p
),
judged as (
    select
        m.setting, m.term_before, m.term_after, m.kind, m.subject, m.common_questions,
        m.difference, m.difference_low, m.difference_high, m.p_adjusted, c.minimum_students,
        coalesce(t.title, j.says) as subject_title, coalesce(j.general, false) as general,
        least(m.students_before, m.students_after) >= c.minimum_students
        and b.term is not null and a.term is not null as shown
    from computed.comparison as m
    cross join store.course as c
    left join open_to_all as b
        on m.kind = b.kind and m.subject = b.subject and m.setting = b.setting and m.term_before = b.term
    left join open_to_all as a
        on m.kind = a.kind and m.subject = a.subject and m.setting = a.setting and m.term_after = a.term
    left join store.topic as t on m.kind = 'topic' and m.subject = t.topic
    left join staging.joint_name as j on m.kind = 'pattern' and m.subject = j.pattern
)
select
    d.setting, -- practice, quiz or exam
    d.term_before, -- id of the earlier term
    d.term_after, -- id of the later term
    d.kind, -- topic or pattern
    d.subject, -- id of the topic or error
    d.subject_title, -- its name or sentence
    d.general, -- whether it is a slip of the pen or in arithmetic
    d.common_questions, -- questions that both terms had
    if(d.shown, round(d.difference, 2), null) as difference, -- after less before in whole points; below 0 means fewer errors
    if(d.shown, floor(100 * d.difference_low) / 100, null) as difference_low, -- lower end of its 95 % interval, rounded down
    if(d.shown, ceil(100 * d.difference_high) / 100, null) as difference_high, -- upper end, rounded up
    if(d.shown, d.p_adjusted < 0.05, null) as settled, -- whether it stands after Benjamini and Hochberg over the table, at 0.05
    if(d.shown, null, 'hidden: fewer than ' || d.minimum_students || ' students could be worked out') as note -- why figures are missing
from judged as d
