-- A list on trust hides its row of few students only where it shows no other row; a class section of few is not all that is hidden beside those that are shown.
with by_section as (
    select 'sections' as list, r.term, concat_ws(', ', r.setting, r.pattern) as part, r.students, r.shown
    from computed.section_rate as r
    union all
    select 'errors by section' as list, r.term, concat_ws(', ', r.setting, r.pattern, r.topic, r.week) as part, r.students, r.shown
    from computed.section_week_rate as r
    union all
    select 'wrong by section' as list, w.term, concat_ws(', ', w.setting, w.topic, w.week) as part, w.students, w.shown
    from computed.section_wrong as w
)
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
select b.list, b.term, b.part
from by_section as b
cross join store.course as c
group by b.list, b.term, b.part
having bool_or(b.shown)
    and sum(b.students) filter (not b.shown) < any_value(c.minimum_students)
