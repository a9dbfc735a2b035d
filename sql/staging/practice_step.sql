-- First tries in the order in which each student answered the questions of a topic, of at most 2,000 students a class.
with chosen as (
    select s.term, s.setting, s.student
    from (select distinct j.term, j.setting, j.student from staging.judged as j) as s
    qualify row_number() over (partition by s.term, s.setting order by md5(s.student)) <= 2000
)
select
    t.term, t.setting, t.topic, t.student, t.item || '|' || coalesce(t.item_from, '') as item,
    t.chance - 1 as earlier, t.wrong
from staging.turn as t
inner join chosen as c on t.term = c.term and t.setting = c.setting and t.student = c.student
where t.chance <= 12
