-- Answers by the terms and weeks in which everyone sees them counted, each known by student, question and day alone.
with students as (
    select s.student, md5_number_lower(s.student) as who
    from (select distinct a.student from staging.answer as a where a.student is not null) as s
)
select
    a.response, t.term, a.setting, a.topic, a.item, a.verdict, a.first_try,
    if(
        t.dated, coalesce(a.answered_week, a.week, 0),
        coalesce(date_diff('week', date '2000-01-03', a.answered_on), 0)
    )::integer as week,
    s.who as student,
    d.day, (s.who >> 32 << 32) + d.near[1] as mark
from staging.answer as a
inner join staging.shared_term as t on a.term = t.own_term
inner join students as s on a.student = s.student
inner join staging.shared_day as d on a.item is not distinct from d.item and a.answered_on is not distinct from d.answered_on
