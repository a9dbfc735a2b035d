-- Answers that we judge right and the source under half the points, or wrong and over half.
select
    a.response, -- integer key of the answer
    a.term, -- id of the term
    a.setting, -- practice, quiz or exam
    a.topic, -- id of the topic
    a.item, -- id of the question
    a.problem, -- the question as this student saw it
    a.student, -- pseudonym, 32 hexadecimal digits
    a.answer, -- what was typed
    a.read_as, -- value used, in plain notation
    a.verdict, -- our verdict
    a.score, -- points given by the source
    a.points, -- points that could be had, 1 when the source does not say
    a.file, -- export that held it
    a.line -- line or row in that export, from 1
from (
    select
        s.response, s.term, s.setting, s.topic, s.item, s.problem, s.student, s.answer, s.read_as,
        s.verdict, s.score, coalesce(s.points, 1) as points, s.file, s.line
    from staging.answer as s
    where s.score is not null
) as a
where (a.verdict in ('right', 'right-other-form') and a.score < a.points / 2)
    or (a.verdict = 'wrong' and a.score > a.points / 2)
