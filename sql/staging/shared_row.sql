-- What each student adds to the tables for everyone, by the week in which it was given.
with reading as (
    select
        a.term, a.setting, a.week, a.student,
        unnest([
            {'measure': 'we could not read it', 'hit': a.verdict = 'unreadable'},
            {'measure': 'blank', 'hit': a.verdict = 'blank'},
            {'measure': 'right if brackets were meant', 'hit': a.verdict = 'right-if-meant'},
            {
                'measure': 'our check and the score differ',
                'hit': if(
                    a.verdict in ('right', 'right-other-form', 'wrong'),
                    (a.verdict <> 'wrong') <> (a.score > coalesce(a.points, 1) / 2), null
                )
            }
        ], recursive := true)
    from staging.shared_answer as a
    where a.verdict is not null
),
reached as (
    select
        t.term, e.outcome, md5_number_lower(e.student) as student,
        sum(e.answered) as answered, sum(e.correct) as correct
    from staging.outcome_evidence as e
    inner join staging.shared_term as t on e.term = t.own_term
    where e.declared and e.student is not null
    group by t.term, e.outcome, e.student
)
select
    'wrong' as subject, a.term, a.setting, a.topic, a.week, a.student,
    count(*) as n, count(*) filter (where a.verdict = 'wrong') as y
from staging.shared_answer as a
inner join store.topic as t on a.topic = t.topic
where a.first_try and a.verdict in ('right', 'right-other-form', 'wrong')
group by all
union all
select
    'reading' as subject, r.term, r.setting, r.measure as topic, r.week, r.student,
    count(*) as n, count(*) filter (where r.hit) as y
from reading as r
where r.hit is not null
group by all
union all
-- An outcome is known when the semester is over: it counts behind all of its weeks.
select
    'outcome' as subject, r.term, '' as setting, r.outcome as topic, 999 as week, r.student,
    1 as n, (r.correct / r.answered >= o.bar - 1e-9)::integer as y
from reached as r
inner join staging.shared_bar as o on r.outcome = o.outcome
where r.answered >= o.fewest
