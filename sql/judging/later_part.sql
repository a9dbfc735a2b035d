-- Wrong answers to later parts, beside the wrong value that the same student gave to the earlier part last before.
with judged as (
    select
        r.response, r.item, coalesce(r.item_from, '') as item_from, r.student, r.term, r.quiz, r.setting,
        coalesce(r.attempt, 1) as attempt, r.answered_at, r.line, coalesce(r.answer, '') as answer,
        e.verdict, e.read_as
    from store.response as r
    inner join store.judgment as j on r.response = j.response
    inner join store.examined as e on j.examined = e.examined
    where r.student is not null
        and r.place in ('task', 'judge')
        and (
            r.item in (select i.item from store.item as i where i.follows is not null)
            or r.item in (select i.follows from store.item as i where i.follows is not null)
        )
),
paired as (
    select
        l.response, l.item, l.item_from, i.follows, l.answer,
        arg_max(
            if(e.verdict = 'wrong', e.read_as, ''),
            (e.attempt, coalesce(e.answered_at, '-infinity'::timestamp), e.response)
        ) as earlier_value
    from judged as l
    inner join store.item as i on l.item = i.item and l.item_from = i.item_from
    inner join judged as e
        on i.follows = e.item
        and l.student = e.student
        and l.term is not distinct from e.term
        and l.quiz is not distinct from e.quiz
        and l.setting is not distinct from e.setting
        and e.attempt <= l.attempt
        and (e.answered_at is null or l.answered_at is null or e.answered_at <= l.answered_at)
    where l.verdict = 'wrong'
    group by l.response, l.item, l.item_from, i.follows, l.answer
)
select p.response, p.item, p.item_from, p.follows, p.answer, p.earlier_value
from paired as p
where p.earlier_value <> ''
