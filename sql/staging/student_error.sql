-- How surely each student's first tries hold no trace of an error, by topic: logarithm of the chance.
select
    a.term, a.setting, a.topic, a.student, s.pattern,
    sum(ln(1 - least(s.share, 0.999999))) as silent
from staging.answer as a
inner join store.share as s
    on a.examined = s.examined
    and a.setting = s.setting
    and a.term = s.term
    and coalesce(a.topic, '') = s.topic
where a.verdict = 'wrong' and a.first_try
group by a.term, a.setting, a.topic, a.student, s.pattern
