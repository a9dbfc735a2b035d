-- What everyone sees counted, by answer: those that are right or wrong, and those behind a student's outcome.
with reached as (
    select
        t.term, e.outcome, md5_number_lower(e.student) as student,
        sum(e.answered) as answered, sum(e.correct) as correct
    from staging.outcome_evidence as e
    inner join staging.shared_term as t on e.term = t.own_term
    where e.declared and e.student is not null
    group by t.term, e.outcome, e.student
),
behind as (
    select distinct r.term, r.outcome, a.mark, r.correct / r.answered >= o.bar - 1e-9 as met
    from reached as r
    inner join staging.shared_bar as o on r.outcome = o.outcome and r.answered >= o.fewest
    inner join staging.serves as s on r.outcome = s.outcome
    inner join staging.shared_answer as a on r.term = a.term and r.student = a.student and s.item = a.item
)
select
    'wrong' as subject, a.term, a.setting, a.topic, a.week, a.mark, a.response,
    1 as n, (a.verdict = 'wrong')::integer as y
from staging.shared_answer as a
inner join store.topic as t on a.topic = t.topic
where a.first_try and a.verdict in ('right', 'right-other-form', 'wrong')
union all
-- An outcome is known when the semester is over: it counts behind all of its weeks.
select
    'outcome' as subject, b.term, '' as setting, b.outcome as topic, 999999 as week, b.mark, null as response,
    (row_number() over (partition by b.term, b.outcome, b.mark >> 32 order by b.mark) = 1)::integer as n,
    if(n = 1, b.met, false)::integer as y
from behind as b
