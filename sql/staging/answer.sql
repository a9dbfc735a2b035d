-- Every stored answer beside its judgment, with attempt and week filled in.
-- What is ordered or grouped is as narrow as can be: whole answers would be sorted for it.
with unnumbered as (
    select
        r.response,
        row_number() over (
            partition by r.student, r.item, r.quiz, r.term
            order by r.answered_at nulls last, r.file, r.line
        )::integer as attempt
    from store.response as r
    where r.item in (select b.item from store.response as b where b.attempt is null)
),
first_week as (
    select r.term, r.section, r.item, min(r.answered_week) as week
    from store.response as r
    where r.item in (select b.item from store.response as b where b.week is null)
    group by r.term, r.section, r.item
),
placed as (
    select
        r.term, coalesce(r.setting, 'practice') as setting, r.student, r.item, r.response,
        coalesce(r.attempt, u.attempt)::integer as attempt, r.answered_at
    from store.response as r
    left join unnumbered as u on r.attempt is null and r.response = u.response
    where r.student is not null and r.term is not null
),
outermost as (
    select
        arg_min(
            p.response, (p.attempt, coalesce(p.answered_at, 'infinity'::timestamp), p.response)
        ) as first_one,
        arg_max(
            p.response, (p.attempt, coalesce(p.answered_at, '-infinity'::timestamp), p.response)
        ) as last_one
    from placed as p
    group by p.term, p.setting, p.student, p.item
)
select
    r.response, r.term, coalesce(r.week, w.week) as week, r.answered_week, r.section, r.topic,
    r.item, r.item_from, r.place, r.task, r.problem, r.key, r.form, r.numbers, r.method, r.student,
    coalesce(r.attempt, u.attempt)::integer as attempt, r.answered_at, r.answered_on, r.answer,
    r.work, r.score, r.points, r.quiz, coalesce(r.setting, 'practice') as setting, r.supervised,
    r.calculator, coalesce(r.count, 1) as count, r.file, r.line, r.source_place, r.seconds,
    if(g.response is null, e.examined, null) as examined, g.follows_from, e.verdict, e.brackets, e.read_as,
    e.value, e.value_key, e.reason, e.first_wrong_line, if(g.response is null, q.question, null) as question,
    g.response is null and coalesce(q.wrong_values, 0) > 0 as covered,
    coalesce(r.count, 1) = 1 and f.first_one is not null as first_try,
    coalesce(r.count, 1) = 1 and l.last_one is not null as last_try
from store.response as r
left join unnumbered as u on r.attempt is null and r.response = u.response
left join first_week as w
    on r.week is null
    and r.term is not distinct from w.term
    and r.section is not distinct from w.section
    and r.item = w.item
left join outermost as f on r.response = f.first_one
left join outermost as l on r.response = l.last_one
left join store.judgment as j on r.response = j.response
left join store.examined as e on j.examined = e.examined
left join store.following as g on r.response = g.response
left join staging.question as q
    on r.task = q.task
    and r.problem is not distinct from q.problem
    and r.numbers is not distinct from q.numbers
    and r.method is not distinct from q.method
