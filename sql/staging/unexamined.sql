-- Every distinct answer to a question that has still to be judged.
select distinct
    r.task, r.problem, r.key, r.numbers, r.form, r.method, coalesce(r.answer, '') as answer, r.work
from store.response as r
where r.place in ('task', 'judge', 'choice')
    and not exists (
        select e.examined
        from store.examined as e
        where r.task = e.task
            and coalesce(r.answer, '') = e.answer
            and r.problem is not distinct from e.problem
            and r.key is not distinct from e.key
            and r.numbers is not distinct from e.numbers
            and r.form is not distinct from e.form
            and r.method is not distinct from e.method
            and r.work is not distinct from e.work
    )
