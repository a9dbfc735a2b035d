-- Difficulty and relation to the rest of the questions, by question. First tries only.
select
    r.term, -- id of the term
    r.setting, -- practice, quiz or exam; no row mixes settings
    r.item, -- id of the question
    i.topic, -- id of the topic
    i.problem, -- the question in typed notation
    i.week, -- teaching week in which it is assigned
    r.students, -- students who answered
    r.answers, -- first tries judged right or wrong
    r.right_answers, -- of these, judged right in any form
    r.difficulty, -- share right, 0 to 1
    r.difficulty_low, -- lower end of its 95 % interval
    r.difficulty_high, -- upper end of its 95 % interval
    'first' as grain, -- all but the next four columns count first tries
    1 - l.rate as last_difficulty, -- share right at last tries, 0 to 1
    1 - l.rate_high as last_difficulty_low, -- lower end of its 95 % interval
    1 - l.rate_low as last_difficulty_high, -- upper end of its 95 % interval
    l.answers as last_answers, -- last tries judged right or wrong
    r.item_rest, -- correlation with the share right on the student's other questions, -1 to 1
    r.item_rest_low, -- lower end of its 95 % interval
    r.item_rest_high, -- upper end of its 95 % interval
    r.item_rest_note, -- why there is no correlation
    r.discrimination, -- share right in the upper 27 % less that in the lower, by complete score of the quiz
    r.discrimination_note, -- why there is none
    r.flag, -- what to look at, one sentence
    coalesce(h.patterns, []) as cannot_show, -- ids of errors of its topic that it hides
    i.task, -- what it asks for, such as solve or vertex
    coalesce(f.shown, false) as shown, -- whether its figures are of enough students and tell of no fewer by subtraction
    coalesce(l.shown, false) as last_shown -- the same of last tries
from computed.item_rate as r
left join (
    select v.item, max_by(v.topic, v.position) as topic, max_by(v.problem, v.position) as problem,
        max_by(v.week, v.position) as week, max_by(v.task, v.position) as task
    from store.item as v
    group by v.item
) as i on r.item = i.item
left join main.wrong_by_try as l
    on l.grain = 'last' and l.grouped_by = 'item'
    and r.term = l.term and r.setting = l.setting and r.item = l.item
left join main.wrong_by_try as f
    on f.grain = 'first' and f.grouped_by = 'item'
    and r.term = f.term and r.setting = f.setting and r.item = f.item
left join computed.hidden_pattern as h
    on r.term = h.term and r.setting = h.setting and r.item = h.item
