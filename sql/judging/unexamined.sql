-- Every distinct answer to a question that has still to be judged, and whether its question was predicted before.
with asked as (
    select r.task, r.problem, r.key, r.numbers, r.form, r.method, coalesce(r.answer, '') as answer, r.work
    from store.response as r
    where r.place in ('task', 'judge', 'choice')
    except
    select e.task, e.problem, e.key, e.numbers, e.form, e.method, e.answer, e.work
    from store.examined as e
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
