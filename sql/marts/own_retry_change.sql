-- How the same students did at the first and at the last try of a question, small groups hidden.
select
    r.term, -- id of the term
    r.setting, -- practice, quiz or exam
    r.item, -- id of the question
    i.topic, -- id of the topic
    i.problem, -- the question in typed notation
    if(r.students >= c.minimum_students, r.students, null) as students, -- students who tried it again
    if(r.students >= c.minimum_students, r.both_wrong, null) as both_wrong, -- of these, wrong at both tries
    if(r.students >= c.minimum_students, r.mended, null) as mended, -- of these, wrong at first and right at last
    if(r.students >= c.minimum_students, r.spoiled, null) as spoiled, -- of these, right at first and wrong at last
    if(r.students >= c.minimum_students, r.both_right, null) as both_right, -- of these, right at both tries
    if(r.students >= c.minimum_students, r.wrong_first, null) as wrong_first, -- share wrong at the first try, 0 to 1
    if(r.students >= c.minimum_students, r.wrong_last, null) as wrong_last, -- share wrong at the last try, 0 to 1
    if(r.students >= c.minimum_students, r.difference, null) as difference, -- last less first; below 0 means fewer errors
    if(r.students >= c.minimum_students, r.difference_low, null) as difference_low, -- lower end of its 95 % interval, pairs of the same students
    if(r.students >= c.minimum_students, r.difference_high, null) as difference_high, -- upper end of its 95 % interval
    if(r.students >= c.minimum_students, r.p_adjusted, null) as p_adjusted, -- p-value of no change, McNemar's mid-p, after Benjamini and Hochberg over the table
    if(r.students >= c.minimum_students, r.difference_note, 'hidden: fewer than ' || c.minimum_students || ' students') as note -- why figures are missing, or what to know
from computed.retry_change as r
cross join store.course as c
left join main.item_statistics as i on r.term = i.term and r.setting = i.setting and r.item = i.item
