-- Share wrong at first and at last tries, small groups hidden; class sections are left out, for no page ranks people.
select
    w.grain, -- first or last try of a student at a question
    w.term, -- id of the term
    w.setting, -- practice, quiz or exam
    w.grouped_by, -- term, week, topic, topic and week, outcome or item
    w.week, -- teaching week assigned, where grouped by it
    w.topic, -- id of the topic, where grouped by it
    w.outcome, -- id of the outcome, where grouped by it
    w.item, -- id of the question, where grouped by it
    if(w.shown, w.students, null) as students, -- students behind the rate
    if(w.shown, w.answers, null) as answers, -- tries judged right or wrong
    if(w.shown, w.wrong, null) as wrong, -- of these, wrong
    if(w.shown, w.rate, null) as rate, -- share wrong, 0 to 1
    if(w.shown, w.rate_low, null) as rate_low, -- lower end of its 95 % interval
    if(w.shown, w.rate_high, null) as rate_high, -- upper end of its 95 % interval
    if(w.shown, w.rate_note, 'hidden: fewer than ' || c.minimum_students || ' students, or so that no such count can be worked out') as note -- why figures are missing
from main.wrong_by_try as w
cross join store.course as c
where w.grouped_by <> 'section'
