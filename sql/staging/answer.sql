-- Every stored answer beside its judgment, with attempt and week filled in.
with numbered as (
    select
        r.response, r.term, r.answered_week, r.section, r.topic, r.item, r.item_from, r.place, r.task,
        r.problem, r.key, r.form, r.numbers, r.method, r.student, r.answered_at, r.answered_on,
        r.answer, r.work, r.score, r.points, r.quiz, r.supervised, r.calculator, r.file, r.line,
        coalesce(r.setting, 'practice') as setting,
        coalesce(r.count, 1) as count,
        coalesce(
            r.week, min(r.answered_week) over (partition by r.term, r.section, r.item)
        ) as week,
        coalesce(
            r.attempt,
            row_number() over (
                partition by r.student, r.item, r.quiz, r.term
                order by r.answered_at nulls last, r.file, r.line
            )
        )::integer as attempt
    from store.response as r
)
select
    n.response, n.term, n.week, n.answered_week, n.section, n.topic, n.item, n.item_from, n.place,
    n.task, n.problem, n.key, n.form, n.numbers, n.method, n.student, n.attempt, n.answered_at,
    n.answered_on, n.answer, n.work, n.score, n.points, n.quiz, n.setting, n.supervised,
    n.calculator, n.count, n.file, n.line, e.examined, e.verdict, e.read_as, e.value, e.value_key,
    e.reason, e.first_wrong_line, q.question, coalesce(q.wrong_values, 0) > 0 as covered,
    n.student is not null and n.term is not null and n.count = 1
    and row_number() over (
        partition by n.term, n.setting, n.student, n.item
        order by n.attempt, n.answered_at nulls last, n.response
    ) = 1 as first_try,
    n.student is not null and n.term is not null and n.count = 1
    and row_number() over (
        partition by n.term, n.setting, n.student, n.item
        order by n.attempt desc, n.answered_at desc nulls last, n.response desc
    ) = 1 as last_try
from numbered as n
left join store.examined as e
    on n.place in ('task', 'judge', 'choice')
    and n.task = e.task
    and coalesce(n.answer, '') = e.answer
    and n.problem is not distinct from e.problem
    and n.key is not distinct from e.key
    and n.numbers is not distinct from e.numbers
    and n.form is not distinct from e.form
    and n.method is not distinct from e.method
    and n.work is not distinct from e.work
left join staging.question as q
    on n.task = q.task
    and n.problem is not distinct from q.problem
    and n.numbers is not distinct from q.numbers
    and n.method is not distinct from q.method
