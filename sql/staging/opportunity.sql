-- Every judged first try at a question that can show an error.
select
    j.response, j.term, j.setting, j.week, j.topic, j.section, j.item, j.item_from, j.student,
    j.examined, j.value_key, j.answered_at, j.answered_on, j.answered_week, j.attempt, j.wrong, j.question
from staging.judged as j
where j.covered
