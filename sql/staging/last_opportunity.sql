-- Every judged last try at a question that can show an error, of the classes where some tried again.
with again as (
    select distinct a.term, a.setting, a.topic
    from staging.answer as a
    where a.last_try and not a.first_try and a.topic is not null
)
select
    a.response, a.term, a.setting, a.week, a.topic, a.section, a.item, a.item_from, a.student,
    a.examined, a.value_key, a.answered_at, a.answered_on, (a.verdict = 'wrong')::integer as wrong,
    a.question
from staging.answer as a
inner join again as g on a.term = g.term and a.setting = g.setting and a.topic = g.topic
where a.last_try and a.covered and a.verdict in ('right', 'right-other-form', 'wrong')
