-- No figure of a page comes from fewer students than the limit.
select 'own_error_by_topic_week' as page, e.students
from main.own_error_by_topic_week as e
cross join store.course as c
where e.students < c.minimum_students or (e.students is null and e.rate is not null)
union all
select 'own_pattern_prevalence' as page, p.students
from main.own_pattern_prevalence as p
cross join store.course as c
where p.students < c.minimum_students or (p.students is null and p.rate is not null)
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
