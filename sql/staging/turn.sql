-- First tries by which question of the topic in turn it was for the student, where times tell the order.
select
    j.term, j.setting, j.topic, j.student, j.item, j.item_from, j.wrong,
    row_number() over (
        partition by j.term, j.setting, j.topic, j.student
        order by j.answered_at
    )::integer as chance,
    count(*) over (partition by j.term, j.setting, j.topic, j.student)::integer as reached
from staging.judged as j
where j.topic is not null
qualify
    count(distinct j.answered_at) over (partition by j.term, j.setting, j.topic, j.student) = reached
