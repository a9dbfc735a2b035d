-- What the pages say of their own reliability: counts of answers and students behind each share.
with examined as (
    select a.term, a.setting, 'we could not read it' as measure, a.student, a.verdict = 'unreadable' as hit
    from staging.answer as a
    where a.verdict is not null and a.student is not null and a.term is not null
    union all
    select a.term, a.setting, 'blank' as measure, a.student, a.verdict = 'blank' as hit
    from staging.answer as a
    where a.verdict is not null and a.student is not null and a.term is not null
    union all
    select
        a.term, a.setting, 'right if brackets were meant' as measure, a.student,
        a.verdict = 'right-if-meant' as hit
    from staging.answer as a
    where a.verdict is not null and a.student is not null and a.term is not null
    union all
    select
        a.term, a.setting, 'our check and the score differ' as measure, a.student,
        (a.verdict <> 'wrong') <> (a.score > coalesce(a.points, 1) / 2) as hit
    from staging.answer as a
    where a.score is not null and a.verdict in ('right', 'right-other-form', 'wrong')
        and a.student is not null and a.term is not null
),
by_student as (
    select e.term, e.setting, e.measure, e.student, count(*) as n, count(*) filter (where e.hit)::double as y
    from examined as e
    group by all
    union all
    select a.term, a.setting, 'no known error fits' as measure, a.student, count(*) as n, sum(s.share) as y
    from staging.answer as a
    inner join store.share as s
        on a.examined = s.examined and a.setting = s.setting
        and a.term = s.term and coalesce(a.topic, '') = s.topic
    where s.pattern = 'unexplained' and a.verdict = 'wrong' and a.covered and a.student is not null
    group by a.term, a.setting, a.student
)
select
    b.term, b.setting, b.measure,
    count(*)::double as students, sum(b.n)::double as answers, sum(b.y) as hits,
    sum(least(b.y, 1)) as students_hit, sum(least(b.n - b.y, 1)) as students_missed
from by_student as b
group by b.term, b.setting, b.measure
