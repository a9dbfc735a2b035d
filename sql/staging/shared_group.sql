-- What a table for everyone is made of: counts of answers and students by term, setting, topic and week, totals with nulls.
with by_student as (
    select
        s.term, s.setting, s.topic, s.week, s.student, sum(s.n) as n, sum(s.y) as y
    from staging.student_week as s
    group by grouping sets (
        (s.term, s.setting, s.student, s.topic, s.week),
        (s.term, s.setting, s.student, s.topic),
        (s.term, s.setting, s.student, s.week),
        (s.term, s.setting, s.student)
    )
)
select
    b.term, b.setting, b.topic, b.week,
    sum(b.n)::double as answers, sum(b.y)::double as wrong,
    count(*)::double as students,
    (count(*) filter (where b.y > 0))::double as students_wrong,
    (count(*) filter (where b.y < b.n))::double as students_right,
    max(b.n)::double as most, max(b.y)::double as most_wrong, max(b.n - b.y)::double as most_right,
    sum(b.y * b.y)::double as yy, sum(b.y * b.n)::double as yn, sum(b.n * b.n)::double as nn
from by_student as b
group by b.term, b.setting, b.topic, b.week
