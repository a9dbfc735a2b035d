-- Which error can be seen on which question, and by how many different wrong answers.
select
    q.question, p.pattern,
    count(distinct p.value_key) filter (where p.wrong)::integer as ways
from store.prediction as p
inner join staging.question as q
    on p.task = q.task
    and p.problem is not distinct from q.problem
    and p.numbers is not distinct from q.numbers
    and p.method is not distinct from q.method
group by q.question, p.pattern
having count(*) filter (where p.wrong) > 0
