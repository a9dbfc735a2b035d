-- Expected number of distinct students who showed an error, by term, and by topic over all terms.
with by_term as (
    select t.term, t.setting, t.pattern, unnest(t.members) as id
    from computed.pattern_total as t
),
by_topic as (
    select t.topic, t.setting, t.pattern, unnest(t.members) as id
    from computed.topic_pattern as t
),
laid as (
    select g.term, null as topic, g.setting, g.pattern, e.student, sum(e.silent) as silent
    from by_term as g
    inner join staging.student_error as e
        on g.term = e.term and g.setting = e.setting and g.id = e.pattern
    group by g.term, g.setting, g.pattern, e.student
    union all
    select null as term, g.topic, g.setting, g.pattern, e.student, sum(e.silent) as silent
    from by_topic as g
    inner join staging.student_error as e
        on g.topic = e.topic and g.setting = e.setting and g.id = e.pattern
    group by g.topic, g.setting, g.pattern, e.student
)
select l.term, l.topic, l.setting, l.pattern, sum(1 - exp(l.silent)) as showing
from laid as l
group by l.term, l.topic, l.setting, l.pattern
