-- Students by how many questions of a topic they answered and by which one in turn it was, with wrong answers.
with rate as (
    select j.term, j.setting, j.item, avg(j.wrong) as rate
    from staging.judged as j
    group by j.term, j.setting, j.item
),
numbered as (
    select
        j.term, j.setting, j.topic, j.wrong, r.rate,
        row_number() over (
            partition by j.term, j.setting, j.topic, j.student
            order by j.answered_at nulls last, j.response
        ) as chance,
        count(*) over (partition by j.term, j.setting, j.topic, j.student) as reached
    from staging.judged as j
    inner join rate as r on j.term = r.term and j.setting = r.setting and j.item = r.item
    where j.topic is not null
)
select
    n.term, n.setting, n.topic, least(n.reached, 12)::integer as reached, n.chance::integer as chance,
    count(*)::integer as students, sum(n.wrong)::integer as wrong, sum(n.rate) as usual
from numbered as n
where n.chance <= 12
group by all
