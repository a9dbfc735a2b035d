-- The students of topics with a week that is too small to be shown, so that weeks can be pooled.
with failing as (
    select distinct g.term, g.setting, g.topic
    from staging.shared_group as g
    cross join store.course as c
    where g.topic is not null and g.week is not null
        and least(g.students_wrong, g.students_right) < c.minimum_students
)
select s.term, s.setting, s.topic, s.week, s.student, s.n, s.y
from staging.student_week as s
inner join failing as f
    on s.term = f.term and s.setting = f.setting and s.topic = f.topic
