-- Answers by the terms and weeks in which everyone sees them counted, each known by student, question and day alone.
select
    a.response, t.term, a.setting, a.topic, a.item, a.verdict, a.first_try,
    if(
        t.dated, coalesce(a.answered_week, a.week, 0),
        coalesce(date_diff('week', date '2000-01-03', a.answered_on), 0)
    )::integer as week,
    md5_number_lower(a.student) as student,
    (md5_number_lower(a.student) >> 32 << 32)
    + (md5_number_lower(concat_ws('|', a.item, a.answered_on)) >> 32) as mark
from staging.answer as a
inner join staging.shared_term as t on a.term = t.own_term
where a.student is not null
