-- Wrong answers that no one known error fits for half or more, by question, value and student: what unnamed rules are looked for in.
with tagged as (
    select
        t.response, t.faults, t.share, a.task, a.count,
        len(t.faults) = 1 and not coalesce(p.general, false) as named
    from main.tags as t
    inner join staging.answer as a on t.response = a.response
    left join store.pattern as p on t.pattern = p.pattern
),
alone as (
    select t.task, t.faults[1] as pattern, sum(t.share * t.count) as answers
    from tagged as t
    where len(t.faults) = 1
    group by t.task, t.faults[1]
),
slips as (
    -- A slip is careless and rare: what many students do the same way again and again is none.
    select a.task, round(sum(a.count) / 20) as answers
    from staging.answer as a
    group by a.task
),
rarer as (
    select
        t.response, array_to_string(t.faults, ' ') as faults,
        if(len(t.faults) = 1, any_value(s.answers), min(coalesce(round(a.answers), 0))) as answers
    from (
        select response, task, faults, unnest(faults) as fault
        from tagged
        where not named
    ) as t
    left join alone as a on t.task = a.task and t.fault = a.pattern
    inner join slips as s on t.task = s.task
    group by t.response, t.faults
),
known as (
    select
        r.response,
        map_from_entries(list((r.faults, r.answers) order by r.faults)) as known
    from rarer as r
    group by r.response
),
looked_at as (
    select t.response
    from tagged as t
    group by t.response
    having coalesce(sum(t.share) filter (where t.named), 0) < 0.5
)
select
    a.task, a.problem, a.numbers, e.value, a.value_key, a.student, sum(a.count)::integer as answers,
    any_value(coalesce(k.known, map {})) as known -- two faults or a slip that lead there -> how often the rarer of two is met alone or slips come at most, answers
from staging.answer as a
inner join looked_at as l on a.response = l.response
inner join store.examined as e on a.examined = e.examined
left join known as k on a.response = k.response
where a.student is not null and a.problem is not null and a.key is null and e.value is not null
group by a.task, a.problem, a.numbers, e.value, a.value_key, a.student
