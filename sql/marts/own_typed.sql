-- Answers that the first errors of the next lesson lead to and that enough students typed; how many did is not told.
with laid as (
    select r.term, r.setting, r.pattern, a.item, a.problem, a.read_as, a.student, sum(s.share) as share
    from (
        select n.term, n.setting, n.pattern, unnest(n.members) as id
        from computed.next_lesson as n
        where n.rank <= 10
    ) as r
    inner join store.share as s on r.term = s.term and r.setting = s.setting and r.id = s.pattern
    inner join staging.told_answer as t
        on s.examined = t.examined and s.term = t.term and s.setting = t.setting and s.topic = coalesce(t.topic, '')
    inner join staging.answer as a on t.response = a.response
    where t.first_try and t.verdict = 'wrong' and a.student is not null
    group by all
),
counted as (
    select l.term, l.setting, l.pattern, l.item, l.problem, l.read_as, round(sum(l.share), 3) as answers
    from laid as l
    cross join store.course as c
    group by l.term, l.setting, l.pattern, l.item, l.problem, l.read_as, c.minimum_students
    having count(distinct l.student) filter (l.share >= 0.5) >= c.minimum_students
)
select
    k.term, -- id of the term
    k.setting, -- practice, quiz or exam
    k.pattern, -- id of the error, or ids joined by ' / '
    row_number() over (
        partition by k.term, k.setting, k.pattern order by k.answers desc, k.item, k.problem, k.read_as
    )::integer as place, -- from 1, the answer that most of the error is in
    k.item, -- id of the question
    k.problem, -- the question as these students saw it
    k.read_as -- what they typed, as we read it
from counted as k
qualify place <= 5
