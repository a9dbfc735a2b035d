-- Every first try that was judged right or wrong: what observed rates are counted on.
select
    a.response, a.term, a.setting, a.week, a.topic, a.section, a.item, a.item_from, a.quiz, a.student,
    a.examined, a.value_key, a.answered_at, a.answered_on, a.question, a.covered,
    (a.verdict = 'wrong')::integer as wrong
from staging.answer as a
where a.first_try and a.verdict in ('right', 'right-other-form', 'wrong')
