-- What everyone may be told of an error: its rate, that it is near 0 or 1, or nothing.
with every as (
    select p.term, null as topic, p.setting, p.pattern, p.students, p.opportunities, p.rate, p.rate_low, p.rate_high
    from computed.pattern_total as p
    union all
    select null as term, t.topic, t.setting, t.pattern, t.students, t.opportunities, t.rate, t.rate_low, t.rate_high
    from computed.topic_pattern as t
),
with_limits as (
    select
        e.term, e.topic, e.setting, e.pattern, e.students, e.rate, e.rate_low, e.rate_high,
        coalesce(s.showing, 0) as showing, c.minimum_students as least_students,
        case
            when floor(0.05 * e.opportunities) >= c.minimum_students then 0.05
            when floor(0.10 * e.opportunities) >= c.minimum_students then 0.10
            when floor(0.20 * e.opportunities) >= c.minimum_students then 0.20
            else 0
        end as cap
    from every as e
    cross join store.course as c
    left join staging.students_showing as s
        on e.setting = s.setting and e.pattern = s.pattern
        and e.term is not distinct from s.term and e.topic is not distinct from s.topic
)
select
    w.term, w.topic, w.setting, w.pattern, w.students, w.rate, w.rate_low, w.rate_high, w.cap,
    w.least_students,
    case
        when w.rate is null then 'unknown'
        when w.students < w.least_students then 'hidden'
        when w.cap > 0 and w.rate <= w.cap then 'low'
        when w.cap > 0 and w.rate >= 1 - w.cap then 'high'
        when w.showing < w.least_students or (1 - w.rate) * w.students < w.least_students then 'hidden'
        else 'shown'
    end as state
from with_limits as w
