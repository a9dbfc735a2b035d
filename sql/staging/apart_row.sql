-- The rows of the lists on trust: one for each name that enough students stand behind, one for all others together.
with summed as (
    select
        s.list, s.term, s.part, if(s.joins, null, s.name) as name, if(s.joins, null, s.detail) as detail,
        s.joins, s.least_students, sum(g.count)::bigint as answers, count(distinct g.student)::integer as students
    from staging.apart as s
    inner join staging.apart_answer as g
        on s.list = g.list and s.term is not distinct from g.term and s.part = g.part
        and s.detail = g.detail and s.name is not distinct from g.name
    where s.list <> 'coverage'
    group by all
)
select
    m.list, m.term, m.part, m.name, m.detail,
    if(m.students >= m.least_students, m.answers, null) as answers,
    if(m.students >= m.least_students, m.students, null) as students,
    case
        when m.students < m.least_students then 'hidden: fewer than ' || m.least_students || ' students'
        when m.joins then 'groups too small to be shown, together in one sum'
    end as note
from summed as m
union all
select distinct
    if(r.sort = 'right-if-meant', 'meant', r.sort) as list, r.term, 'rare' as part, null as name, null as detail, null as answers, null as students,
    'hidden: fewer than ' || c.minimum_students || ' students' as note
from staging.rare_sort as r
cross join store.course as c
where r.sort in ('unlisted', 'unreadable', 'right-if-meant')
    and (r.term, r.setting) not in (select (o.term, o.setting) from staging.rare_sort as o where o.sort = 'any')
