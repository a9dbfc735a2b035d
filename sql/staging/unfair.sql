-- Answers that our check and the score judge differently, each with what would cure it; a score may refuse another form than asked.
with given as (
    select
        a.response, a.term, a.item, a.problem, a.value_key, a.answer, a.student,
        lower(replace(a.answer, ' ', '')) as typed,
        a.score > coalesce(a.points, 1) / 2 as credited
    from staging.answer as a
    where a.score is not null and (a.item, a.value_key) in (
        select (s.item, s.value_key)
        from main.disagreements as d
        inner join staging.answer as s on d.response = s.response
    )
),
by_value as (
    select
        g.term, g.item, g.problem, g.value_key, bool_or(g.credited) as credited,
        bool_and(g.credited) as always
    from given as g
    group by all
),
by_text as (
    select
        g.term, g.item, g.problem, g.value_key, g.typed, bool_or(g.credited) as credited,
        min(g.answer) as answer
    from given as g
    group by all
),
enough as (
    select g.term, g.item, g.problem, g.value_key, g.answer, count(distinct g.student) as students
    from given as g
    cross join store.course as c
    where g.credited
    group by g.term, g.item, g.problem, g.value_key, g.answer, c.minimum_students
    having count(distinct g.student) >= c.minimum_students
),
accepted as (
    select e.term, e.item, e.problem, e.value_key, max_by(e.answer, (e.students, e.answer)) as answer
    from enough as e
    group by all
)
select
    d.response, d.term, d.setting, d.item, d.problem, d.student, d.file, d.line,
    d.verdict = 'wrong' as ours_wrong, t.answer, k.answer as accepted,
    case
        when d.verdict = 'wrong' and v.always then 'never refused'
        when d.verdict = 'wrong' or t.credited then 'both ways'
        when v.credited then 'form'
        else 'never accepted'
    end as cure
from main.disagreements as d
inner join given as g on d.response = g.response
inner join by_value as v
    on g.term is not distinct from v.term and g.item = v.item
    and g.problem is not distinct from v.problem and g.value_key is not distinct from v.value_key
inner join by_text as t
    on g.term is not distinct from t.term and g.item = t.item
    and g.problem is not distinct from t.problem and g.value_key is not distinct from t.value_key
    and g.typed = t.typed
left join accepted as k
    on g.term is not distinct from k.term and g.item = k.item
    and g.problem is not distinct from k.problem and g.value_key is not distinct from k.value_key
where d.verdict <> 'right-other-form'
