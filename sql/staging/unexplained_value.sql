-- Wrong answers that no known error fits for half or more, by question, value and student: what unnamed rules are looked for in.
select
    a.task, a.problem, a.numbers, e.value, a.value_key, a.student, sum(a.count)::integer as answers
from staging.answer as a
inner join main.tags as t on a.response = t.response
inner join store.examined as e on a.examined = e.examined
where
    t.pattern = 'unexplained' and t.share >= 0.5 and a.student is not null
    and a.problem is not null and a.key is null and e.value is not null
group by all
