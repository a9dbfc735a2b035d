-- Lessons by the topics that they treat.
select
    l.lesson, -- id of the lesson
    l.term, -- id of the term
    l.title, -- its name
    l.day, -- day on which it was given
    l.week, -- teaching week of that day, from 1
    unnest(l.topics) as topic -- id of a topic that it treats
from store.lesson as l
