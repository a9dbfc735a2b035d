-- Questions that tell the first errors of the next lesson from others.
select
    q.term, -- id of the term
    q.setting, -- practice, quiz or exam
    q.pattern, -- id of the error, or ids joined by ' / '
    q.place, -- 1 for the question that tells most
    q.item, -- question of the course that it is, or is like
    q.task, -- its task
    q.problem, -- the question in typed notation
    q.standing, -- new, varied (other numbers) or asked (the class has met it)
    q.typed, -- answers that say something, the right one first
    q.meanings -- ids of the errors that lead to each, joined by ' / '; empty for the right one
from computed.check_question as q
inner join main.own_pattern_prevalence as p
    on q.term = p.term and q.setting = p.setting and q.pattern = p.pattern and p.rank is not null
