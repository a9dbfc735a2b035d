-- Every judged first try at a question that can show an error.
select
    j.response, j.term, j.setting, j.week, j.topic, j.section, j.item, j.item_from, j.student,
    j.examined, j.answered_at, j.answered_on, j.attempt, j.wrong, q.question
from staging.judged as j
inner join store.examined as e on j.examined = e.examined
inner join staging.question as q
    on e.task = q.task
    and e.problem is not distinct from q.problem
    and e.numbers is not distinct from q.numbers
    and e.method is not distinct from q.method
where q.wrong_values > 0
