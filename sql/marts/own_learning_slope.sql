-- How fast each topic is learned from question to question, small groups hidden.
select
    s.term, -- id of the term
    s.setting, -- practice, quiz or exam
    s.topic, -- id of the topic
    t.title as topic_title, -- its name
    t.position as topic_position, -- order in the course, from 1
    if(s.students >= c.minimum_students, s.students, null) as students, -- students whose answers were used
    if(s.students >= c.minimum_students, s.answers, null) as answers, -- their first tries on the topic
    if(s.students >= c.minimum_students, s.slope, null) as slope, -- what one more question adds to the log-odds of a right answer
    if(s.students >= c.minimum_students, s.slope_low, null) as slope_low, -- lower end of its 95 % interval
    if(s.students >= c.minimum_students, s.slope_high, null) as slope_high, -- upper end of its 95 % interval
    if(s.students >= c.minimum_students, s.p_adjusted, null) as p_adjusted, -- p-value of no slope, adjusted over all topics of the term
    if(s.students >= c.minimum_students, s.modeled[1], null) as first_wrong, -- modeled share wrong on the first question, 0 to 1
    if(s.students >= c.minimum_students, s.modeled[len(s.modeled)], null) as last_wrong, -- the same on the last question that any student reached
    if(s.students >= c.minimum_students, len(s.modeled), null) as chances, -- which question in turn that last one is
    if(s.students >= c.minimum_students, s.slope_note, 'hidden: fewer than ' || c.minimum_students || ' students') as note -- why figures are missing, or what to know
from computed.learning_slope as s
cross join store.course as c
left join store.topic as t on s.topic = t.topic
