-- How many questions of each kind were asked; no count of answers.
select
    o.term, -- id of the term; null for days outside every term
    o.place, -- task, judge, choice, skip, unlisted, or unread where the problem cannot be read
    o.covered, -- whether its errors can be told
    o.questions -- questions with any answer
from main.own_coverage as o
