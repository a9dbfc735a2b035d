-- The six sums behind the share wrong at first tries, by class section, topic and week of the current term.
with by_student as (
    select
        j.term, j.setting, coalesce(h.section, '') as section, j.topic, j.week, j.student,
        sum(j.wrong)::double as y, count(*)::double as n
    from staging.judged as j
    inner join staging.current_week as c on j.term = c.term
    left join staging.home_section as h on j.term = h.term and j.student = h.student
    where j.topic is not null and j.week is not null
        and (select count(distinct b.section) from staging.home_section as b inner join staging.current_week as d on b.term = d.term) > 1
    group by j.term, j.setting, coalesce(h.section, ''), j.topic, j.week, j.student
)
select
    b.term, b.setting, b.section, b.topic, b.week, count(*)::double as m, sum(b.y) as y, sum(b.n) as n,
    sum(b.y * b.y) as yy, sum(b.y * b.n) as yn, sum(b.n * b.n) as nn
from by_student as b
group by b.term, b.setting, b.section, b.topic, b.week
