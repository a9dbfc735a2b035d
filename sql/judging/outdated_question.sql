-- Every judged question that nobody is asked any more, or with other right answers than then.
with asked as (
    select r.task, r.problem, r.numbers, r.method, list(distinct coalesce(r.key, '') order by coalesce(r.key, '')) as keys
    from store.response as r
    where r.place in ('task', 'judge', 'choice')
    group by r.task, r.problem, r.numbers, r.method
),
judged as (
    select e.task, e.problem, e.numbers, e.method, list(distinct coalesce(e.key, '') order by coalesce(e.key, '')) as keys
    from store.examined as e
    group by e.task, e.problem, e.numbers, e.method
)
select j.task, j.problem, j.numbers, j.method
from judged as j
left join asked as a
    on j.task = a.task
    and j.problem is not distinct from a.problem
    and j.numbers is not distinct from a.numbers
    and j.method is not distinct from a.method
where a.keys is distinct from j.keys
