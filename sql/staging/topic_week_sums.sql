-- The six sums behind a rate whose answers come in students, by topic and week assigned.
with by_student as (
    select
        j.term, j.setting, j.week, j.topic, j.student,
        sum(j.wrong)::double as y, count(*)::double as n
    from staging.judged as j
    where j.week is not null and j.topic is not null
    group by all
)
select
    b.term, b.setting, b.week, b.topic,
    count(*)::double as m, sum(b.y) as y, sum(b.n) as n,
    sum(b.y * b.y) as yy, sum(b.y * b.n) as yn, sum(b.n * b.n) as nn
from by_student as b
group by all
