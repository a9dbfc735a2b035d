-- Our share right beside the source's, on the answers that both judge; one right in another form than asked agrees with either score.
with scored as (
    select
        a.term, a.setting, a.student,
        (a.verdict = 'right')::integer as ours,
        (a.score > coalesce(a.points, 1) / 2)::integer as theirs
    from staging.answer as a
    left join staging.rare_sort as r
        on a.term = r.term and a.setting = r.setting and r.sort = 'again' and not a.first_try
    where a.verdict in ('right', 'wrong') and r.sort is null
),
counted as (
    select
        b.term, b.setting, count(b.theirs)::integer as answers,
        least(
            count(distinct b.student) filter (where b.theirs is not null),
            -- All less those with a score would tell what the few others did.
            nullif(count(distinct b.student) filter (where b.theirs is null), 0)
        )::integer as students,
        least(
            nullif(count(distinct b.student) filter (where b.ours < b.theirs), 0),
            nullif(count(distinct b.student) filter (where b.ours > b.theirs), 0)
        ) as fewest_differing,
        (sum(b.ours) filter (where b.theirs is not null))::integer as our_right, sum(b.theirs)::integer as source_right,
        count(*) filter (where b.ours = b.theirs)::integer as agreeing
    from scored as b
    group by b.term, b.setting
    having count(b.theirs) > 0
)
select
    n.term, -- id of the term
    n.setting, -- practice, quiz or exam
    if(n.students >= c.minimum_students, n.answers, null) as answers, -- answers that both judge
    if(n.students >= c.minimum_students, n.our_right, null) as our_right, -- right by our check, in the form asked
    if(n.students >= c.minimum_students and coalesce(n.fewest_differing >= c.minimum_students, true), n.source_right, null) as source_right, -- over half the points in the export; not where it would tell how few answers are judged another way
    if(n.students >= c.minimum_students and coalesce(n.fewest_differing >= c.minimum_students, true), n.agreeing, null) as agreeing, -- judged alike; likewise
    if(n.students >= c.minimum_students, null, 'hidden: fewer than ' || c.minimum_students || ' students with a score, or without one') as note -- why figures are missing
from counted as n
cross join store.course as c
