-- How questions went, small groups hidden.
select
    i.term, -- id of the term
    i.setting, -- practice, quiz or exam
    i.item, -- id of the question
    i.topic, -- id of the topic
    t.title as topic_title, -- name of the topic
    i.problem, -- the question in typed notation
    i.week, -- teaching week in which it is assigned
    if(i.shown, i.students, null) as students, -- students who answered
    if(i.shown, i.answers, null) as answers, -- first tries judged right or wrong
    if(i.shown, i.right_answers, null) as "right", -- of these, judged right in any form
    if(i.shown, i.difficulty, null) as difficulty, -- share right, 0 to 1
    if(i.shown, i.difficulty_low, null) as difficulty_low, -- lower end of its 95 % interval
    if(i.shown, i.difficulty_high, null) as difficulty_high, -- upper end of its 95 % interval
    if(i.shown and i.last_shown, i.last_difficulty, null) as last_difficulty, -- share right at last tries, 0 to 1
    if(i.shown and i.last_shown, i.last_difficulty_low, null) as last_difficulty_low, -- lower end of its 95 % interval
    if(i.shown and i.last_shown, i.last_difficulty_high, null) as last_difficulty_high, -- upper end of its 95 % interval
    if(i.shown, i.item_rest, null) as item_rest, -- correlation with the student's other questions, -1 to 1
    if(i.shown, i.item_rest_low, null) as item_rest_low, -- lower end of its 95 % interval
    if(i.shown, i.item_rest_high, null) as item_rest_high, -- upper end of its 95 % interval
    if(i.shown, i.item_rest_note, null) as item_rest_note, -- why there is no correlation
    if(i.shown, i.discrimination, null) as discrimination, -- share right in the upper 27 % less that in the lower, by complete score of the quiz
    if(i.shown, i.discrimination_note, null) as discrimination_note, -- why there is none
    if(i.shown, i.flag, null) as flag, -- what to look at, one sentence
    i.cannot_show, -- ids of errors of its topic that it hides
    i.task, -- what it asks for, such as solve or vertex
    if(i.shown, null, 'hidden: fewer than ' || c.minimum_students || ' students, or so that no such count can be worked out') as note -- why figures are missing
from main.item_statistics as i
cross join store.course as c
left join store.topic as t on i.topic = t.topic
