-- Share of first tries that are wrong by class section, small groups hidden.
select
    w.term, -- id of the term
    w.setting, -- practice, quiz or exam
    if(w.section = '', 'no section named', w.section) as section, -- class section, that of most of a student's answers; none of few is named
    w.week, -- teaching week in which the questions were assigned, from 1
    w.topic, -- id of the topic
    t.title as topic_title, -- name of the topic
    t.position as topic_position, -- order in the course, from 1
    if(w.shown, w.students, null) as students, -- students who answered
    if(w.shown, w.answers, null) as answers, -- first tries judged right or wrong
    if(w.shown, w.wrong, null) as wrong, -- of these, judged wrong
    if(w.shown, w.rate, null) as rate, -- share wrong, 0 to 1
    if(w.shown, w.rate_low, null) as rate_low, -- lower end of its 95 % interval
    if(w.shown, w.rate_high, null) as rate_high, -- upper end of its 95 % interval
    if(w.shown, w.rate_note, 'hidden: fewer than ' || c.minimum_students || ' students, or so that no such count can be worked out') as note -- why figures are missing
from computed.section_wrong as w
cross join store.course as c
left join store.topic as t on w.topic = t.topic
