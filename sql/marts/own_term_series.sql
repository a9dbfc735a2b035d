-- Three or more terms side by side on the questions that all of them had, small groups hidden.
select
    s.setting, -- practice, quiz or exam
    s.topic, -- id of the topic; null for all topics together
    p.title as topic_title, -- its name
    s.term, -- id of the term
    t.title as term_title, -- its name
    t.position as term_position, -- order of the terms, from 1
    s.common_questions, -- questions that all terms had
    if(s.students >= c.minimum_students, s.students, null) as students, -- students in this term
    if(s.students >= c.minimum_students, s.answers, null) as answers, -- first tries judged right or wrong
    if(s.students >= c.minimum_students, s.rate, null) as rate, -- share wrong at the fixed mix of questions, 0 to 1
    if(s.students >= c.minimum_students, s.rate_low, null) as rate_low, -- lower end of its 95 % interval
    if(s.students >= c.minimum_students, s.rate_high, null) as rate_high, -- upper end of its 95 % interval
    if(s.students >= c.minimum_students, s.p, null) as p, -- p-value of no difference among all terms
    if(s.students >= c.minimum_students, s.p_adjusted, null) as p_adjusted, -- the same after Benjamini and Hochberg over the table
    if(s.students >= c.minimum_students, s.rate_note, 'hidden: fewer than ' || c.minimum_students || ' students') as note -- why figures are missing, or what to know
from computed.term_series as s
cross join store.course as c
left join store.term as t on s.term = t.term
left join store.topic as p on s.topic = p.topic
