-- Questions on which our check and the source's score differ, small groups hidden.
with counted as (
    select
        d.term, d.setting, d.item, d.topic,
        if(
            d.verdict = 'wrong', 'we say wrong, the score says right',
            'we say right, the score says wrong'
        ) as kind,
        count(*)::integer as answers, count(distinct d.student)::integer as students
    from main.disagreements as d
    group by all
)
select
    n.term, -- id of the term
    n.setting, -- practice, quiz or exam
    n.item, -- id of the question
    n.topic, -- id of the topic
    n.kind, -- which way they differ
    if(n.students >= c.minimum_students, n.answers, null) as answers, -- answers on which they differ
    if(n.students >= c.minimum_students, n.students, null) as students, -- distinct students
    if(n.students >= c.minimum_students, null, 'hidden: fewer than ' || c.minimum_students || ' students') as note -- why figures are missing
from counted as n
cross join store.course as c
