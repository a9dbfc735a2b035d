-- Every distinct question that was asked and walked for its predictable wrong answers.
with asked as (
    select distinct r.task, r.problem, r.numbers, r.method
    from store.response as r
    where r.place in ('task', 'judge', 'choice')
)
select
    row_number() over (order by p.task, p.problem, p.numbers, p.method)::integer as question,
    p.task, p.problem, p.numbers, p.method,
    count(distinct p.value_key) filter (where p.wrong)::integer as wrong_values
from store.prediction as p
inner join asked as a
    on p.task = a.task
    and p.problem is not distinct from a.problem
    and p.numbers is not distinct from a.numbers
    and p.method is not distinct from a.method
group by p.task, p.problem, p.numbers, p.method
