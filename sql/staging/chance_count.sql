-- Students by how many questions of a topic they answered and by which one in turn it was, with wrong answers.
with rate as (
    select j.term, j.setting, j.item, avg(j.wrong) as rate
    from staging.judged as j
    group by j.term, j.setting, j.item
)
select
    t.term, t.setting, t.topic, least(t.reached, 12)::integer as reached, t.chance,
    count(*)::integer as students, sum(t.wrong)::integer as wrong, sum(r.rate) as usual
from staging.turn as t
inner join rate as r on t.term = r.term and t.setting = r.setting and t.item = r.item
where t.chance <= 12
group by all
