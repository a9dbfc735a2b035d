-- One row per wrong answer of a student that another wrong answer to the same question followed. For the owner of the database.
with tried as (
    select
        a.response, a.term, a.setting, a.topic, a.item, a.place, a.problem, a.student, a.attempt,
        a.verdict, a.value_key, a.read_as, a.answered_at,
        lead(a.response) over next_try as response_after
    from staging.answer as a
    where a.student is not null and a.verdict is not null and not (a.first_try and a.last_try)
    window next_try as (
        partition by a.student, a.item, a.term, a.quiz, a.setting
        order by a.attempt, a.answered_at nulls last, a.response
    )
),
likeliest as (
    select
        t.response,
        arg_max(t.pattern, t.share) as pattern, max(t.share) as share
    from main.tags as t
    semi join tried as r on t.response = r.response
    group by t.response
)
select
    b.term, -- id of the term
    b.setting, -- practice, quiz or exam
    b.topic, -- id of the topic
    b.item, -- id of the question
    b.place, -- task, judge or choice
    b.problem, -- the question as this student saw it
    b.student, -- pseudonym, 32 hexadecimal digits
    b.response as response_before, -- the earlier answer
    f.response as response_after, -- the next one
    b.attempt as attempt_before, -- attempt of the earlier answer, from 1
    f.attempt as attempt_after, -- attempt of the next one, from 1
    b.read_as as answer_before, -- value or option of the earlier answer
    f.read_as as answer_after, -- value or option of the next one
    x.pattern as pattern_before, -- error that the earlier answer is laid to first, or unexplained
    x.share as share_before, -- fraction of it, 0 to 1
    y.pattern as pattern_after, -- error that the next answer is laid to first, or unexplained
    y.share as share_after -- fraction of it, 0 to 1
from tried as b
inner join tried as f on b.response_after = f.response
inner join likeliest as x on b.response = x.response
inner join likeliest as y on f.response = y.response
where b.verdict = 'wrong' and f.verdict = 'wrong' and b.value_key is distinct from f.value_key
