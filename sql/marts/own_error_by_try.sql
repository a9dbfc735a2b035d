-- How common each error is by topic and week at first tries, and at last ones where some tried again; small groups hidden.
select
    e.grain, -- first or last try of a student at a question
    e.term, -- id of the term
    e.setting, -- practice, quiz or exam
    e.week, -- teaching week in which the questions were assigned, from 1
    e.topic, -- id of the topic
    t.title as topic_title, -- name of the topic
    e.pattern, -- id of the error, or ids joined by ' / '
    j.says, -- what the student did
    coalesce(j.general, false) as general, -- whether it is a slip of the pen or in arithmetic
    if(e.shown, e.students, null) as students, -- students with a chance to show it
    if(e.shown, e.opportunities, null) as opportunities, -- chances to show it
    if(e.shown, e.rate, null) as rate, -- how common, 0 to 1
    if(e.shown, e.rate_low, null) as rate_low, -- lower end of its 95 % interval
    if(e.shown, e.rate_high, null) as rate_high, -- upper end of its 95 % interval
    if(e.shown, e.rate_note, 'hidden: fewer than ' || c.minimum_students || ' students, or so that no such count can be worked out') as note -- why figures are missing, or what to know
from main.error_by_try as e
cross join store.course as c
left join store.topic as t on e.topic = t.topic
left join staging.joint_name as j on e.pattern = j.pattern
