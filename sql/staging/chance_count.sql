-- Students by how many questions of a topic they answered and by which one in turn it was, with wrong answers, where times tell the order.
with rate as (
    select j.term, j.setting, j.item, avg(j.wrong) as rate
    from staging.judged as j
    group by j.term, j.setting, j.item
),
timed as (
    select j.term, j.setting, j.topic, j.student
    from staging.judged as j
    where j.topic is not null
    group by j.term, j.setting, j.topic, j.student
    having count(distinct j.answered_at) = count(*)
),
numbered as (
    select
        j.term, j.setting, j.topic, j.wrong, r.rate,
        row_number() over (
            partition by j.term, j.setting, j.topic, j.student
            order by j.answered_at
        ) as chance,
        count(*) over (partition by j.term, j.setting, j.topic, j.student) as reached
    from staging.judged as j
    inner join rate as r on j.term = r.term and j.setting = r.setting and j.item = r.item
    inner join timed as t
        on j.term = t.term and j.setting = t.setting and j.topic = t.topic and j.student = t.student
)
select
    n.term, n.setting, n.topic, least(n.reached, 12)::integer as reached, n.chance::integer as chance,
    count(*)::integer as students, sum(n.wrong)::integer as wrong, sum(n.rate) as usual
from numbered as n
where n.chance <= 12
group by all
