-- One row per wrong answer to one question that no explanation fits for more than half, all terms together. For the owner of the database.
with laid as (
    select
        a.task, a.problem, a.key, a.numbers, a.method, a.value_key, t.pattern,
        sum(t.share * a.count) as weight
    from staging.answer as a
    inner join main.tags as t on a.response = t.response
    where a.verdict = 'wrong' and a.value_key is not null
    group by all
),
best as (
    select
        d.task, d.problem, d.key, d.numbers, d.method, d.value_key,
        max(d.weight) filter (where d.pattern <> 'unexplained') as most,
        coalesce(sum(d.weight) filter (where d.pattern = 'unexplained'), 0) as bare
    from laid as d
    group by all
),
guessed as (
    select
        d.task, d.problem, d.key, d.numbers, d.method, d.value_key,
        list(d.pattern order by d.pattern) filter (
            where d.pattern <> 'unexplained' and d.weight >= b.most - 1e-6
        ) as guess,
        sum(d.weight) filter (
            where d.pattern <> 'unexplained' and d.weight >= b.most - 1e-6
        ) as guessed,
        list(d.pattern order by d.weight desc, d.pattern) filter (
            where d.pattern <> 'unexplained'
        ) as candidates,
        any_value(b.bare) as bare
    from laid as d
    inner join best as b
        on d.task = b.task and d.value_key = b.value_key
        and d.problem is not distinct from b.problem and d.key is not distinct from b.key
        and d.numbers is not distinct from b.numbers and d.method is not distinct from b.method
    group by all
),
given as (
    select
        a.task, a.problem, a.key, a.numbers, a.method, a.value_key,
        min(a.read_as) as read_as, any_value(e.by_hand) as by_hand,
        sum(a.count)::bigint as answers, count(distinct a.student)::integer as students
    from staging.answer as a
    inner join store.examined as e on a.examined = e.examined
    where a.verdict = 'wrong' and a.value_key is not null
    group by all
)
select
    g.task, -- task of the catalogue, judge or choice
    g.problem, -- the question
    g.key, -- right answer where the course gives it
    g.numbers, -- real or complex
    g.value_key, -- canonical key of the answer
    g.read_as, -- the answer in plain notation
    g.answers, -- how often it was given
    g.students, -- distinct students who gave it
    h.guess, -- error that it is laid to first; several where nothing parts them
    coalesce(h.guessed / g.answers, 0) as guess_share, -- fraction laid to it, 0 to 1
    h.candidates, -- all errors that it may be laid to, likeliest first
    h.bare / g.answers as share_unexplained -- fraction that no known error fits, 0 to 1
from given as g
inner join guessed as h
    on g.task = h.task and g.value_key = h.value_key
    and g.problem is not distinct from h.problem and g.key is not distinct from h.key
    and g.numbers is not distinct from h.numbers and g.method is not distinct from h.method
where not coalesce(g.by_hand, false) and coalesce(h.guessed / g.answers, 0) <= 0.5
