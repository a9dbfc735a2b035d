-- Where the course stands: the latest term that enough students answered in, and the week that enough of them have reached.
-- A few who work ahead, or mistype a year, are no class, and the pages must not tell of them.
with reached as (
    select
        s.term, max(s.week) as week, if(s.student is null, sum(s.count), 1)::integer as people
    from staging.answer as s
    group by s.term, s.student, if(s.student is null, s.week, null)
)
select
    r.term,
    coalesce(
        list_reverse_sort(
            flatten(list(repeat([r.week], least(r.people, c.minimum_students))) filter (r.week is not null))
        )[c.minimum_students],
        max(r.week)
    )::integer as week
from reached as r
inner join store.term as w on r.term = w.term
cross join store.course as c
group by r.term, w.position, c.minimum_students
order by sum(r.people) >= c.minimum_students desc, w.position desc
limit 1
