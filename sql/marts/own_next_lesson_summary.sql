-- What the ranking amounts to, in words.
select
    v.term, -- id of the term
    v.setting, -- practice, quiz or exam
    v.verdict, -- clear, likely, open, nothing stands out or cannot tell yet
    v.sentence -- one plain sentence
from computed.next_lesson_verdict as v
