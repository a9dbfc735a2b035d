-- How many questions of each kind were asked; no count of answers.
select
    o.term, -- id of the term; null for days outside every term
    o.place, -- task, judge, choice, skip or unlisted
    o.covered, -- whether its errors can be told
    o.questions -- questions with any answer
from main.own_coverage as o
