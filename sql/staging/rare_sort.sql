-- Settings of few students in a semester, and sorts of answers that few students gave in one.
with answered as (
    select
        a.term, a.setting, a.student,
        unnest([
            'any',
            if(a.verdict in ('right', 'right-other-form', 'wrong'), 'judged', coalesce(a.verdict, a.place)),
            if(a.verdict is not null and not a.covered, 'errors cannot be told', null)
        ]) as sort
    from staging.answer as a
)
select a.term, a.setting, a.sort
from answered as a
cross join store.course as c
where a.sort is not null
group by a.term, a.setting, a.sort, c.minimum_students
having count(distinct a.student) < c.minimum_students
