-- How common each error is in one topic over all terms, in whole percents.
select
    s.topic, -- id of the topic
    p.title as topic_title, -- name of the topic
    p.position as topic_position, -- order in the course, from 1
    s.setting, -- practice, quiz or exam
    s.pattern, -- id of the error, or ids joined by ' / '
    j.skill, -- skill that it touches
    j.says, -- what was done
    coalesce(j.general, false) as general, -- whether it is a slip of the pen or in arithmetic
    if(s.state = 'shown', s.rate, null) as rate, -- how common, whole percents, 0 to 1
    if(s.state = 'shown', s.rate_low, null) as rate_low, -- lower end of its 95 % interval, rounded down to a percent
    if(s.state = 'shown', s.rate_high, null) as rate_high, -- upper end, rounded up
    case
        when s.state = 'low' then (100 * s.cap)::integer || '% or less'
        when s.state = 'high' then (100 - 100 * s.cap)::integer || '% or more'
    end as code, -- what stands in place of a rate near 0 or 1
    s.students_at_least, -- students with a chance to show it, rounded down to a multiple of the limit
    s.as_of, -- earlier edition from which the figures are carried over
    case
        when s.as_of is not null
            then 'as of the edition of ' || left(s.as_of, 10) || ': too few answers since could show it'
        when s.state = 'hidden' then 'hidden: fewer than ' || c.minimum_students || ' students could be worked out'
        when s.state = 'unknown' then 'cannot tell: these questions cannot separate it from others'
    end as note -- why figures are missing, or what to know
from computed.shared_percent as s
cross join store.course as c
left join staging.joint_name as j on s.pattern = j.pattern
left join store.topic as p on s.topic = p.topic
where s.kind = 'topic'
