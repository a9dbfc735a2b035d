-- A list on trust hides its row of few students only where it shows no other row.
select r.list, r.term, r.part
from staging.apart_row as r
inner join staging.apart_row as o on r.list = o.list and r.term is not distinct from o.term and r.part = o.part
where r.answers is null and o.answers is not null
union all
select p.list, p.term, p.part
from staging.apart as p
where p.list = 'coverage' and p.joins
group by p.list, p.term, p.part
having sum(p.students) < any_value(p.least_students)
    and any_value(p.term) in (select s.term from staging.apart as s where s.list = 'coverage' and not s.joins)
union all
-- A class section of few students is not all that is hidden beside those that are shown.
select 'sections' as list, r.term, r.setting || ', ' || r.pattern as part
from computed.section_rate as r
cross join store.course as c
group by r.term, r.setting, r.pattern
having bool_or(r.shown)
    and sum(r.students) filter (not r.shown) < any_value(c.minimum_students)
union all
select 'errors by section' as list, r.term, r.setting || ', ' || r.pattern || ', ' || r.topic || ', week ' || r.week as part
from computed.section_week_rate as r
cross join store.course as c
group by r.term, r.setting, r.pattern, r.topic, r.week
having bool_or(r.shown)
    and sum(r.students) filter (not r.shown) < any_value(c.minimum_students)
union all
select 'wrong by section' as list, w.term, w.setting || ', ' || w.topic || ', week ' || w.week as part
from computed.section_wrong as w
cross join store.course as c
group by w.term, w.setting, w.topic, w.week
having bool_or(w.shown)
    and sum(w.students) filter (not w.shown) < any_value(c.minimum_students)
