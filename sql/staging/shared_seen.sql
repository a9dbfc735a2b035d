-- How many students gave their last answer of a term in each week: which periods are closed.
select l.term, l.week, count(*)::integer as students
from (
    select a.term, a.student, max(a.week) as week
    from staging.shared_answer as a
    group by a.term, a.student
) as l
group by l.term, l.week
