-- Questions on which our check and the source's score differ; small groups in one sum.
with marked as (
    select
        d.term, d.setting, d.item, d.topic, d.student,
        if(
            d.verdict = 'wrong', 'we say wrong, the score says right',
            'we say right, the score says wrong'
        ) as kind
    from main.disagreements as d
),
sized as (
    select
        m.term, m.setting, m.item, m.kind,
        count(distinct m.student) >= any_value(c.minimum_students) as shown
    from marked as m
    cross join store.course as c
    group by m.term, m.setting, m.item, m.kind
),
counted as (
    select
        m.term, m.setting, m.kind, s.shown,
        if(s.shown, m.item, null) as item, if(s.shown, m.topic, null) as topic,
        count(*)::integer as answers, count(distinct m.student)::integer as students
    from marked as m
    inner join sized as s
        on m.term is not distinct from s.term and m.setting = s.setting
        and m.item = s.item and m.kind = s.kind
    group by all
)
select
    n.term, -- id of the term
    n.setting, -- practice, quiz or exam
    n.item, -- id of the question; null in the row of questions with few such students
    n.topic, -- id of the topic
    n.kind, -- which way they differ
    if(n.students >= c.minimum_students, n.answers, null) as answers, -- answers on which they differ
    if(n.students >= c.minimum_students, n.students, null) as students, -- distinct students
    case
        when n.students < c.minimum_students then 'hidden: fewer than ' || c.minimum_students || ' students'
        when not n.shown then 'questions with fewer than ' || c.minimum_students || ' such students, together'
    end as note -- what the row sums, or why figures are missing
from counted as n
cross join store.course as c
