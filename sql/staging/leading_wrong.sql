-- The wrong value that most students gave on each question, and how many did.
with given as (
    select a.term, a.setting, a.item, a.problem, a.value_key, count(*)::integer as students
    from staging.answer as a
    where a.first_try and a.verdict = 'wrong' and a.value_key is not null
    group by a.term, a.setting, a.item, a.problem, a.value_key
)
select g.term, g.setting, g.item, max(g.students) as leading_wrong
from given as g
group by g.term, g.setting, g.item
