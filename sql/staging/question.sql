-- Every distinct question that was walked for its predictable wrong answers.
select
    row_number() over (order by p.task, p.problem, p.numbers, p.method)::integer as question,
    p.task, p.problem, p.numbers, p.method,
    count(distinct p.value_key) filter (where p.wrong)::integer as wrong_values
from store.prediction as p
group by p.task, p.problem, p.numbers, p.method
