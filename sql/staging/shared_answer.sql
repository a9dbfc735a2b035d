-- Answers by the terms and weeks in which everyone sees them counted.
select
    t.term, a.setting, a.topic, a.item, a.verdict, a.first_try, a.score, a.points,
    if(t.dated, coalesce(a.answered_week, a.week, 0), 1)::integer as week,
    md5_number_lower(a.student) as student
from staging.answer as a
inner join staging.shared_term as t on a.term = t.own_term
where a.student is not null
