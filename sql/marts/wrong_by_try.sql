-- Share wrong at first and at last tries, by term, week, class section, topic, outcome and question.
select
    t.grain, -- first or last try of a student at a question
    t.term, -- id of the term
    t.setting, -- practice, quiz or exam; no row mixes settings
    t.grouped_by, -- term, week, section, topic, topic and week, outcome or item
    t.week, -- teaching week assigned, where grouped by it
    t.section, -- class section, where grouped by it
    t.topic, -- id of the topic, where grouped by it
    t.outcome, -- id of the outcome, where grouped by it
    t.item, -- id of the question, where grouped by it
    t.students, -- students behind the rate
    t.answers, -- tries judged right or wrong
    t.wrong, -- of these, wrong
    t.rate, -- share wrong, 0 to 1
    t.rate_low, -- lower end of its 95 % interval
    t.rate_high, -- upper end of its 95 % interval
    t.rate_note, -- why there is no interval
    t.shown -- whether its figures are of enough students and tell of no fewer by subtraction
from computed.try_rate as t
