-- How common each error in the order of the next lesson is by class section, topic and week, small groups hidden.
select
    r.term, -- id of the term
    r.setting, -- practice, quiz or exam
    if(r.section = '', 'no section named', r.section) as section, -- class section, that of most of a student's answers; none of few is named
    r.week, -- teaching week in which the questions were assigned, from 1
    r.topic, -- id of the topic
    t.title as topic_title, -- name of the topic
    r.pattern, -- id of the error, or ids joined by ' / '
    if(r.shown, r.students, null) as students, -- students with a chance to show it
    if(r.shown, r.opportunities, null) as opportunities, -- chances to show it
    if(r.shown, r.rate, null) as rate, -- how common, 0 to 1
    if(r.shown, r.rate_low, null) as rate_low, -- lower end of its 95 % interval
    if(r.shown, r.rate_high, null) as rate_high, -- upper end of its 95 % interval
    if(r.shown, r.rate_note, 'hidden: fewer than ' || c.minimum_students || ' students, or so that no such count can be worked out') as note -- why figures are missing, or what to know
from computed.section_week_rate as r
inner join (select distinct p.term, p.pattern from main.own_pattern_prevalence as p where p.rank is not null) as o
    on r.term = o.term and r.pattern = o.pattern
cross join store.course as c
left join store.topic as t on r.topic = t.topic
