-- Which judged answer each stored answer is, told by all that the judgment rests on.
select
    r.response, -- integer key of the answer
    e.examined -- key of the judged answer
from store.response as r
inner join store.examined as e
    on r.task = e.task
    and coalesce(r.answer, '') = e.answer
    and r.problem is not distinct from e.problem
    and r.key is not distinct from e.key
    and r.numbers is not distinct from e.numbers
    and r.form is not distinct from e.form
    and r.method is not distinct from e.method
    and r.work is not distinct from e.work
where r.place in ('task', 'judge', 'choice')
