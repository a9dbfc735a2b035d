-- Students who tried a question again, by what their first and last tries were.
select
    f.term, f.setting, f.item,
    (count(*) filter (where f.verdict = 'wrong' and l.verdict = 'wrong'))::integer as both_wrong,
    (count(*) filter (where f.verdict = 'wrong' and l.verdict <> 'wrong'))::integer as mended,
    (count(*) filter (where f.verdict <> 'wrong' and l.verdict = 'wrong'))::integer as spoiled,
    (count(*) filter (where f.verdict <> 'wrong' and l.verdict <> 'wrong'))::integer as both_right
from staging.answer as f
inner join staging.answer as l
    on f.term = l.term and f.setting = l.setting and f.student = l.student and f.item = l.item
where f.first_try and not f.last_try and l.last_try and not l.first_try
    and f.verdict in ('right', 'right-other-form', 'wrong')
    and l.verdict in ('right', 'right-other-form', 'wrong')
group by f.term, f.setting, f.item
