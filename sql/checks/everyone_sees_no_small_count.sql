-- No count in a table for everyone is under the limit.
select 'shared_wrong' as page, w.term, w.topic, w.week_from
from main.shared_wrong as w
cross join store.course as c
where least(w.answers, w.wrong, w."right", w.ceiling, w.students_at_least) < c.minimum_students
union all
select 'shared_outcome_results' as page, o.term, o.outcome, 0 as week_from
from main.shared_outcome_results as o
cross join store.course as c
where least(o.students, o.meeting, o.below, o.too_little) < c.minimum_students
