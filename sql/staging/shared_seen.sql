-- How many students gave their last answer of a term in each week: which periods are closed.
select l.term, l.week, count(*)::integer as students
from (
    select a.term, a.student, max(coalesce(a.answered_week, a.week, 0))::integer as week
    from staging.answer as a
    where a.student is not null and a.term is not null
    group by a.term, a.student
) as l
group by l.term, l.week
