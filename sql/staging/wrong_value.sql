-- Every distinct wrong answer of a class: what is shared among the known errors.
select
    coalesce(a.term, '') as term, a.setting, coalesce(a.topic, '') as topic, a.examined,
    any_value(a.question) as question,
    any_value(e.unexplained) as unexplained
from staging.answer as a
inner join store.examined as e on a.examined = e.examined
where a.verdict = 'wrong'
group by coalesce(a.term, ''), a.setting, coalesce(a.topic, ''), a.examined
