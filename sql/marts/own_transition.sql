-- What follows a right answer or an error on the next question of the topic, small groups hidden.
select
    t.term, -- id of the term
    t.setting, -- practice, quiz or exam
    t.state, -- right, the id of an error, or other error
    t.next_state, -- the same on the next question
    if(t.students >= c.minimum_students, t.students, null) as students, -- students with any answer in the first state
    if(t.students >= c.minimum_students, t.answers, null) as answers, -- answers in the first state that had a next one
    if(t.students >= c.minimum_students, t.rate, null) as rate, -- share of these that went on to the second state
    if(t.students >= c.minimum_students, t.rate_low, null) as rate_low, -- lower end of its 95 % interval
    if(t.students >= c.minimum_students, t.rate_high, null) as rate_high, -- upper end of its 95 % interval
    if(t.students >= c.minimum_students, t.steadied, null) as steadied, -- the rate drawn toward that of the whole class
    if(t.students >= c.minimum_students, t.rate_note, 'hidden: fewer than ' || c.minimum_students || ' students') as note -- why figures are missing, or what to know
from computed.transition as t
cross join store.course as c
