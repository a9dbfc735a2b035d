-- Right and wrong first tries that everyone may see, by term, by topic, by week and by both.
select
    s.term, -- id of the term
    t.title as term_title, -- name of the term
    s.setting, -- practice, quiz or exam
    case
        when s.topic = '' and s.week_from = 0 then 'term'
        when s.topic = '' then 'week'
        when s.week_from = 0 then 'topic'
        else 'topic and week'
    end as grain, -- what the row is a total of: term, topic, week, or topic and week
    s.topic, -- id of the topic, empty for all topics
    p.title as topic_title, -- name of the topic
    p.position as topic_position, -- order in the course, from 1
    s.week_from, -- first teaching week, 0 for all weeks
    s.week_to, -- last teaching week, 0 for all weeks
    s.total::bigint as answers, -- first tries judged right or wrong
    s.part::bigint as wrong, -- of these, judged wrong
    s.rest::bigint as "right", -- of these, judged right in any form
    s.rate, -- share wrong in whole percents, 0 to 1
    s.rate_low, -- lower end of its 95 % interval, rounded down to a percent
    s.rate_high, -- upper end, rounded up
    s.code, -- what stands in place of a share near 0 or 1
    s.ceiling::bigint as ceiling, -- the count that the code does not exceed
    s.students_at_least, -- students behind it, rounded down to a multiple of the limit
    s.as_of, -- earlier edition from which the figures are carried over
    case
        when s.as_of is not null
            then 'as of the edition of ' || left(s.as_of, 10) || ': too few students answered since'
        when s.rate is null and s.code is null
            then 'hidden: fewer than ' || c.minimum_students || ' students could be worked out'
    end as note -- why figures are missing, or what to know
from computed.shared_count as s
cross join store.course as c
left join store.topic as p on s.topic = p.topic
left join store.term as t on s.term = t.term
where s.subject = 'wrong'
