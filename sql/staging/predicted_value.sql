-- Every predicted wrong value of a question with the errors that lead to it.
select
    q.question, p.value_key, p.pattern,
    max(p.weight) as weight -- prior weight of the likeliest way there
from store.prediction as p
inner join staging.question as q
    on p.task = q.task
    and p.problem is not distinct from q.problem
    and p.numbers is not distinct from q.numbers
    and p.method is not distinct from q.method
where p.wrong
group by q.question, p.value_key, p.pattern
