-- First tries in the order in which each student answered the questions of a topic, where times tell it, of at most 2,000 students a class.
with chosen as (
    select s.term, s.setting, s.student
    from (select distinct j.term, j.setting, j.student from staging.judged as j) as s
    qualify row_number() over (partition by s.term, s.setting order by md5(s.student)) <= 2000
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
        j.term, j.setting, j.topic, j.student, j.wrong,
        j.item || '|' || coalesce(j.item_from, '') as item,
        row_number() over (
            partition by j.term, j.setting, j.topic, j.student
            order by j.answered_at
        ) - 1 as earlier
    from staging.judged as j
    inner join chosen as c on j.term = c.term and j.setting = c.setting and j.student = c.student
    inner join timed as t
        on j.term = t.term and j.setting = t.setting and j.topic = t.topic and j.student = t.student
)
select n.term, n.setting, n.topic, n.student, n.item, n.earlier::integer as earlier, n.wrong
from numbered as n
where n.earlier < 12
