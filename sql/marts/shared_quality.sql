-- How far the answers can be relied on, in whole percents.
with with_caps as (
    select
        m.term, m.setting, m.measure, m.students, m.students_hit, m.students_missed,
        m.hits / m.answers as rate, c.minimum_students,
        case
            when floor(0.05 * m.answers) >= c.minimum_students then 0.05
            when floor(0.10 * m.answers) >= c.minimum_students then 0.10
            when floor(0.20 * m.answers) >= c.minimum_students then 0.20
            else 0
        end as cap
    from staging.shared_measure as m
    cross join store.course as c
),
judged as (
    select
        w.term, w.setting, w.measure, w.rate, w.cap, w.minimum_students,
        case
            when w.students < w.minimum_students then 'hidden'
            when w.cap > 0 and w.rate <= w.cap then 'low'
            when w.cap > 0 and w.rate >= 1 - w.cap then 'high'
            when least(w.students_hit, w.students_missed) < w.minimum_students then 'hidden'
            else 'shown'
        end as state
    from with_caps as w
)
select
    j.term, -- id of the term
    j.setting, -- practice, quiz or exam
    j.measure, -- what the share is of
    if(j.state = 'shown', round(j.rate, 2), null) as rate, -- share of answers in whole percents, 0 to 1
    case
        when j.state = 'low' then (100 * j.cap)::integer || '% or less'
        when j.state = 'high' then (100 - 100 * j.cap)::integer || '% or more'
    end as code, -- what stands in place of a share near 0 or 1
    if(j.state = 'hidden', 'hidden: fewer than ' || j.minimum_students || ' students could be worked out', null) as note -- why figures are missing
from judged as j
