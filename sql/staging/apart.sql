-- What stands in one row of the lists on trust, and what has to stand together so that no small count can be worked out.
with everyone as (
    select a.term, count(distinct a.student) as students from staging.told_answer as a group by a.term
),
sized as (
    select
        g.list, g.term, g.part, g.detail, g.name,
        sum(g.count)::bigint as answers, count(distinct g.student)::integer as students,
        any_value(c.minimum_students) as least_students,
        -- What stands in a question's place by mistake, such as a student's id, names a person.
        count(distinct g.student) < any_value(c.minimum_students)
        or regexp_matches(coalesce(g.name, ''), '@|[0-9]{7,}|[0-9]{3}[-. ][0-9]{3,4}')
        -- So may words alone, unless most were asked them.
        or g.list = 'unlisted' and not regexp_matches(g.name, '[0-9=^+√∫²³]')
        and 2 * count(distinct g.student) <= any_value(e.students) as small
    from staging.apart_answer as g
    cross join store.course as c
    left join everyone as e on g.term is not distinct from e.term
    group by g.list, g.term, g.part, g.detail, g.name
),
together as (
    select s.list, s.term, s.part, count(distinct g.student)::integer as students
    from sized as s
    inner join staging.apart_answer as g
        on s.list = g.list and s.term is not distinct from g.term and s.part = g.part
        and s.detail = g.detail and s.name is not distinct from g.name
    where s.small
    group by s.list, s.term, s.part
)
select
    s.list, s.term, s.part, s.detail, s.name, s.answers, s.students, s.least_students,
    -- Small ones that are too few even together could be told from a sum: the next smallest joins them.
    s.small or coalesce(t.students < s.least_students, false) and row_number() over (
        partition by s.list, s.term, s.part, s.small order by s.students, s.answers, s.name, s.detail
    ) = 1 as joins
from sized as s
left join together as t on s.list = t.list and s.term is not distinct from t.term and s.part = t.part
