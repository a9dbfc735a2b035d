-- What each student adds to the tables for everyone, by the period in which it was given.
with answer as (
    select
        a.term, a.setting, a.topic, a.verdict, a.first_try, a.score, a.points,
        ceil(coalesce(a.answered_week, a.week, 0) / c.shared_weeks)::integer as period,
        md5_number_lower(a.student) as student
    from staging.answer as a
    cross join store.course as c
    where a.verdict is not null and a.student is not null and a.term is not null
),
reading as (
    select
        a.term, a.setting, a.period, a.student,
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
    from answer as a
),
reached as (
    select
        e.term, e.outcome, md5_number_lower(e.student) as student,
        sum(e.answered) as answered, sum(e.correct) as correct
    from staging.outcome_evidence as e
    where e.declared and e.student is not null and e.term is not null
    group by e.term, e.outcome, e.student
)
select
    'wrong' as subject, a.term, a.setting, a.topic, a.period, a.student,
    count(*)::double as n, (count(*) filter (where a.verdict = 'wrong'))::double as y
from answer as a
inner join store.topic as t on a.topic = t.topic
where a.first_try and a.verdict in ('right', 'right-other-form', 'wrong')
group by all
union all
select
    'reading' as subject, r.term, r.setting, r.measure as topic, r.period, r.student,
    count(*)::double as n, (count(*) filter (where r.hit))::double as y
from reading as r
where r.hit is not null
group by all
union all
-- An outcome is known when the semester is over: it counts in the last period.
select
    'outcome' as subject, r.term, '' as setting, r.outcome as topic,
    ceil(w.weeks / c.shared_weeks)::integer as period, r.student,
    1.0 as n, (r.correct / r.answered >= o.bar - 1e-9)::double as y
from reached as r
inner join store.outcome as o on r.outcome = o.outcome
inner join store.term as w on r.term = w.term
cross join store.course as c
where r.answered >= greatest(coalesce(o.fewest, 1), 1)
