-- Every distinct answer to a question that has still to be judged, and whether its question was predicted before.
with asked as (
    select distinct
        r.task, r.problem, r.key, r.numbers, r.form, r.method, coalesce(r.answer, '') as answer, r.work
    from store.response as r
    where r.place in ('task', 'judge', 'choice')
)
select
    a.task, a.problem, a.key, a.numbers, a.form, a.method, a.answer, a.work,
    exists (
        select k.task
        from store.prediction as k
        where a.task = k.task
            and a.problem is not distinct from k.problem
            and a.numbers is not distinct from k.numbers
            and a.method is not distinct from k.method
    ) as known
from asked as a
where not exists (
    select e.examined
    from store.examined as e
    where a.task = e.task
        and a.answer = e.answer
        and a.problem is not distinct from e.problem
        and a.key is not distinct from e.key
        and a.numbers is not distinct from e.numbers
        and a.form is not distinct from e.form
        and a.method is not distinct from e.method
        and a.work is not distinct from e.work
)
