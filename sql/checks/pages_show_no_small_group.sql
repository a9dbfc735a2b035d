-- No figure of a page comes from fewer students than the limit.
select 'own_error_by_topic_week' as page, e.students
from main.own_error_by_topic_week as e
cross join store.course as c
where e.students < c.minimum_students or (e.students is null and e.rate is not null)
union all
select 'own_pattern_prevalence' as page, least(p.students, p.recent_students) as students
from main.own_pattern_prevalence as p
cross join store.course as c
where least(p.students, p.recent_students) < c.minimum_students
    or (p.students is null and p.rate is not null)
union all
select 'own_error_by_section' as page, b.students
from main.own_error_by_section as b
cross join store.course as c
where b.students < c.minimum_students or (b.students is null and coalesce(b.standing, b.beside, b.rate::varchar) is not null)
union all
select 'own_outcome_results' as page, o.students
from main.own_outcome_results as o
cross join store.course as c
where o.students < c.minimum_students or (o.students is null and o.share is not null)
union all
select 'own_item_statistics' as page, i.students
from main.own_item_statistics as i
cross join store.course as c
where i.students < c.minimum_students or (i.students is null and i.difficulty is not null)
union all
select 'own_wrong_by_topic_week' as page, w.students
from main.own_wrong_by_topic_week as w
cross join store.course as c
where w.students < c.minimum_students or (w.students is null and w.rate is not null)
union all
select 'own_wrong_by_try' as page, w.students as students
from main.own_wrong_by_try as w
cross join store.course as c
where w.students < c.minimum_students or (w.students is null and w.rate is not null)
union all
select 'own_learning_curve' as page, l.students as students
from main.own_learning_curve as l
cross join store.course as c
where l.students < c.minimum_students or (l.students is null and l.rate is not null)
union all
select 'own_transition' as page, t.students as students
from main.own_transition as t
cross join store.course as c
where t.students < c.minimum_students or (t.students is null and t.rate is not null)
union all
select 'own_quiz_score' as page, q.students as students
from main.own_quiz_score as q
cross join store.course as c
where q.students < c.minimum_students or (q.students is null and q.alpha is not null)
union all
select 'own_option_share' as page, o.chosen as students
from main.own_option_share as o
cross join store.course as c
where o.chosen < c.minimum_students or (o.chosen is null and o.share is not null)
union all
select 'own_term_change' as page, least(d.students_before, d.students_after) as students
from main.own_term_change as d
cross join store.course as c
where least(d.students_before, d.students_after) < c.minimum_students or (least(d.students_before, d.students_after) is null and d.difference is not null)
union all
select 'own_question_change' as page, least(k.students_before, k.students_after) as students
from main.own_question_change as k
cross join store.course as c
where least(k.students_before, k.students_after) < c.minimum_students or (least(k.students_before, k.students_after) is null and k.difference is not null)
union all
select 'own_term_series' as page, s.students as students
from main.own_term_series as s
cross join store.course as c
where s.students < c.minimum_students or (s.students is null and s.rate is not null)
union all
select 'own_error_by_try' as page, f.students as students
from main.own_error_by_try as f
cross join store.course as c
where f.students < c.minimum_students or (f.students is null and f.rate is not null)
union all
select 'own_outcome_by_try' as page, u.students as students
from main.own_outcome_by_try as u
cross join store.course as c
where u.students < c.minimum_students or (u.students is null and u.share is not null)
union all
select 'own_learning_slope' as page, v.students as students
from main.own_learning_slope as v
cross join store.course as c
where v.students < c.minimum_students or (v.students is null and v.slope is not null)
union all
select 'own_retry_change' as page, r.students as students
from main.own_retry_change as r
cross join store.course as c
where r.students < c.minimum_students or (r.students is null and r.difference is not null)
