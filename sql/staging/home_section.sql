-- The class section of each student in a term: that of most of the answers, none where few are in it. Who changed sections counts in one, so that they add up.
with most as (
    select s.term, s.student, arg_max(s.section, (s.answers, s.section)) as section
    from (
        select a.term, a.student, a.section, count(*) as answers
        from staging.answer as a
        where a.student is not null and a.section is not null
        group by a.term, a.student, a.section
    ) as s
    group by s.term, s.student
)
select
    m.term, m.student,
    if(count(*) over (partition by m.term, m.section) >= c.minimum_students, m.section, null) as section
from most as m
cross join store.course as c
