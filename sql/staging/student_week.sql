-- First tries of each student, and the wrong ones, by topic and week assigned.
select
    j.term, j.setting, j.topic, j.week, j.student,
    count(*)::integer as n, sum(j.wrong)::integer as y
from staging.judged as j
where j.week is not null and j.topic is not null
group by all
