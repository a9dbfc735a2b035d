-- Every distinct answer of a class that is wrong as typed: what is shared among the known errors.
select
    coalesce(a.term, '') as term, a.setting, coalesce(a.topic, '') as topic, a.examined,
    any_value(a.question) as question,
    any_value(e.unexplained) as unexplained,
    any_value(a.verdict = 'right-if-meant') as if_meant -- whether it is right if brackets were meant
from staging.answer as a
inner join store.examined as e on a.examined = e.examined
where a.verdict in ('wrong', 'right-if-meant')
group by coalesce(a.term, ''), a.setting, coalesce(a.topic, ''), a.examined
