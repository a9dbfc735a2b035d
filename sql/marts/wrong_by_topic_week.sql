-- Share of first tries that are wrong, by term, setting, week assigned and topic.
select
    w.term, -- id of the term
    w.setting, -- practice, quiz or exam; no row mixes settings
    w.week, -- teaching week in which the questions were assigned, from 1
    w.topic, -- id of the topic
    w.students, -- students who answered
    w.answers, -- first tries judged right or wrong
    w.wrong, -- of these, judged wrong
    w.rate, -- share wrong, 0 to 1
    w.rate_low, -- lower end of its 95 % interval
    w.rate_high, -- upper end of its 95 % interval
    'first' as grain, -- first tries; `wrong_by_try` has the last ones beside them
    w.rate_note, -- why there is no rate or interval
    w.shown -- whether its figures are of enough students and tell of no fewer by subtraction
from main.wrong_by_try as w
where w.grain = 'first' and w.grouped_by = 'topic and week'
