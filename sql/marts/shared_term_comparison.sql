-- Terms compared on their common questions, in whole points, where both terms may be shown.
with topics as (
    select s.term, s.setting, s.topic as subject
    from computed.shared_count as s
    where s.subject = 'wrong' and s.week_from = 0 and s.part is not null and s.as_of is null
),
open_to_all as (
    select 'topic' as kind, t.term, t.setting, t.subject from topics as t
),
pairs as (
    select p.setting, p.term, p.term_before, p.pattern, p.rate, p.rate_low, p.rate_high, p.as_of
    from computed.shared_percent as p
    where p.kind = 'pair' and p.state = 'shown'
),
judged as (
    select
        m.setting, m.term_before, m.term_after, m.kind, m.subject, m.common_questions, r.as_of,
        coalesce(r.rate, m.difference) as difference,
        if(r.as_of is null, m.difference_low, r.rate_low) as difference_low,
        if(r.as_of is null, m.difference_high, r.rate_high) as difference_high,
        m.p_adjusted, c.minimum_students,
        coalesce(t.title, j.says) as subject_title, coalesce(j.general, false) as general,
        least(m.students_before, m.students_after) >= c.minimum_students
        and (r.term is not null or b.term is not null and a.term is not null) as shown
    from computed.comparison as m
    cross join store.course as c
    left join open_to_all as b
        on m.kind = b.kind and m.subject = b.subject and m.setting = b.setting and m.term_before = b.term
    left join open_to_all as a
        on m.kind = a.kind and m.subject = a.subject and m.setting = a.setting and m.term_after = a.term
    left join pairs as r
        on m.kind = 'pattern' and m.subject = r.pattern and m.setting = r.setting
        and m.term_before = r.term_before and m.term_after = r.term
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
    if(d.shown and d.as_of is null, d.p_adjusted < 0.05, null) as settled, -- whether it stands after Benjamini and Hochberg over the table, at 0.05
    case
        when not d.shown then 'hidden: fewer than ' || d.minimum_students || ' students could be worked out'
        when d.as_of is not null then 'as of the edition of ' || left(d.as_of, 10) || ': too few answers since could show it'
    end as note, -- why figures are missing, or what to know
    if(d.shown, d.as_of, null) as as_of -- earlier edition from which the figures are carried over
from judged as d
