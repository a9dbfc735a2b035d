-- Share wrong on the first, second and later questions of a topic, small groups hidden.
select
    l.term, -- id of the term
    l.setting, -- practice, quiz or exam
    l.topic, -- id of the topic
    t.title as topic_title, -- its name
    l.chance, -- which question of the topic in the student's own order, from 1
    if(l.students >= c.minimum_students, l.reached, null) as reached, -- students who answered so many
    if(l.students >= c.minimum_students, l.students, null) as students, -- students of the group that is followed
    if(l.students >= c.minimum_students, l.wrong, null) as wrong, -- of these, wrong
    if(l.students >= c.minimum_students, l.rate, null) as rate, -- share wrong in the group, 0 to 1
    if(l.students >= c.minimum_students, l.rate_low, null) as rate_low, -- lower end of its 95 % interval
    if(l.students >= c.minimum_students, l.rate_high, null) as rate_high, -- upper end of its 95 % interval
    if(l.students >= c.minimum_students, l.usual, null) as usual, -- share that the class as a whole has wrong on the questions that stood here
    if(l.students >= c.minimum_students, l.modeled, null) as modeled, -- share wrong that the model with a slope for each topic expects here, had every student gone on
    if(l.students >= c.minimum_students, l.rate_note, 'hidden: fewer than ' || c.minimum_students || ' students') as note -- why figures are missing, or what to know
from computed.learning_curve as l
cross join store.course as c
left join store.topic as t on l.topic = t.topic
