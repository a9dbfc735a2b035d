-- What the next lesson could treat, every factor a column, small groups left out.
with ahead as (
    select u.term, u.setting, u.pattern, list(t.title order by t.position) as titles
    from (
        select n.term, n.setting, n.pattern, unnest(n.topics_ahead) as topic
        from computed.next_lesson as n
    ) as u
    inner join store.topic as t on u.topic = t.topic
    group by u.term, u.setting, u.pattern
)
select
    n.term, -- id of the term
    n.setting, -- practice, quiz or exam
    n.rank, -- place by score, from 1
    n.pattern, -- id of the error, or ids joined by ' / '
    j.skill, -- skill that it touches
    j.says, -- what the student did
    n.students, -- students with a recent chance to show it
    n.opportunities, -- recent chances to show it
    n.recent_rate, -- how common in the last two weeks, 0 to 1; in the whole term where these tell nothing
    n.recent_low, -- lower end of its 95 % interval
    n.recent_high, -- upper end of its 95 % interval
    n.recent_from, -- first of the last two weeks with answers of this setting
    n.recent_to, -- the last of them
    n.lately, -- whether the rate is of these weeks
    n.persistence, -- share of showings after which it comes back, 0 to 1
    n.showed, -- answers laid to it after which the student had another chance
    n.persistence_counted, -- the same as the order counts it: drawn toward that of all errors
    n.class_students, -- students with an answer in these weeks
    n.usual_chances, -- chances per student in the whole term
    n.chances_ahead, -- chances per student still to come; null when unknown
    n.weight, -- declared weight, 1 unless the course says otherwise
    n.answers_ahead, -- answers in the class that it may still cost
    n.score, -- the same by the declared weight: the order
    n.probability_top_three, -- chance to be among the three highest scores; too sure of itself, read the words
    n.certainty, -- clear, likely or open
    coalesce(a.titles, []) as topics_ahead, -- topics to come on whose questions it can show
    l.title as last_lesson, -- last lesson on it
    l.day as last_lesson_day, -- its day
    n.note -- what to know of the row
from computed.next_lesson as n
cross join store.course as c
left join staging.joint_name as j on n.pattern = j.pattern
left join ahead as a on n.term = a.term and n.setting = a.setting and n.pattern = a.pattern
left join store.lesson as l on n.last_lesson = l.lesson
where n.students >= c.minimum_students
