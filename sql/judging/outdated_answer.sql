-- Every judged answer that nobody gave any more.
select e.examined
from store.examined as e
where not exists (
    select r.response
    from store.response as r
    where r.place in ('task', 'judge', 'choice')
        and r.task = e.task
        and coalesce(r.answer, '') = e.answer
        and r.problem is not distinct from e.problem
        and r.key is not distinct from e.key
        and r.numbers is not distinct from e.numbers
        and r.form is not distinct from e.form
        and r.method is not distinct from e.method
        and r.work is not distinct from e.work
)
