-- Wrong answers that one known error fits for half or more, by question and value: of a rule that leads there they tell nothing.
select distinct a.task, a.problem, a.numbers, e.value
from staging.answer as a
inner join store.examined as e on a.examined = e.examined
where
    a.verdict in ('wrong', 'right-if-meant') and a.student is not null
    and a.problem is not null and a.key is null and e.value is not null
    and not exists (
        select 1
        from staging.unexplained_value as u
        where
            u.task = a.task and u.problem = a.problem
            and u.numbers = a.numbers and u.value_key = a.value_key
    )
order by a.task, a.problem, a.numbers, e.value
