-- One row per wrong answer and error; the shares of one answer, unexplained included, sum to 1.
select
    a.response, -- integer key of the answer
    a.term, -- id of the term
    a.week, -- teaching week in which the question was assigned, from 1
    a.setting, -- practice, quiz or exam
    a.topic, -- id of the topic
    a.item, -- id of the question
    a.first_try, -- whether it is the student's first try at this question in this setting
    s.pattern, -- id of the error that matters more, or unexplained
    s.faults, -- ids of all faults, in the order of the working
    s.share, -- fraction of the answer, 0 to 1
    s.rule_set -- fingerprint of the rules by which the answer was judged
from staging.answer as a
inner join store.share as s
    on a.examined = s.examined
    and a.setting = s.setting
    and coalesce(a.term, '') = s.term
    and coalesce(a.topic, '') = s.topic
where a.verdict = 'wrong'
