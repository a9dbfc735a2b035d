-- Settings of few students in a semester, and sorts of answers that few students gave in one: those who tried again, too.
with few_again as (
    select a.term, a.setting
    from staging.answer as a
    cross join store.course as c
    where not a.first_try and a.student is not null
    group by a.term, a.setting, c.minimum_students
    having count(distinct a.student) < c.minimum_students
),
answered as (
    select
        a.term, a.setting, a.student,
        unnest([
            'any',
            if(a.verdict in ('right', 'right-other-form', 'wrong'), 'judged', coalesce(a.verdict, a.place)),
            if(a.verdict is not null and not a.covered, 'errors cannot be told', null)
        ]) as sort
    from staging.answer as a
    left join few_again as f on not a.first_try and a.term = f.term and a.setting = f.setting
    where f.setting is null
)
select a.term, a.setting, a.sort
from answered as a
cross join store.course as c
where a.sort is not null
group by a.term, a.setting, a.sort, c.minimum_students
having count(distinct a.student) < c.minimum_students
union all
select f.term, f.setting, 'again' as sort from few_again as f
