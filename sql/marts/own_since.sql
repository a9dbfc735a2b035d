-- What stood at the end of the last run beside what stands now.
select
    coalesce(n.term, b.term) as term, -- id of the term
    coalesce(n.setting, b.setting) as setting, -- practice, quiz or exam; all for answers
    coalesce(n.kind, b.kind) as kind, -- answers, error, question or lesson
    coalesce(n.name, b.name) as name, -- id of the error or question, or of lesson and error
    b.name is not null as stood, -- whether the last run had it
    n.name is not null as stands, -- whether this one has it
    b.figure as before, -- number of answers, place in the order, or change after the lesson, then
    n.figure as now -- the same now
from main.own_standing as n
full join store.before as b
    on n.term = b.term and n.setting = b.setting and n.kind = b.kind and n.name = b.name
