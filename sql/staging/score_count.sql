-- Students by total score on each quiz that they answered whole, and how many got each question right.
with asked as (
    select j.term, j.setting, j.quiz, count(distinct j.item) as questions
    from staging.judged as j
    where j.quiz is not null
    group by j.term, j.setting, j.quiz
),
whole as (
    select j.term, j.setting, j.quiz, j.student, sum(1 - j.wrong)::integer as score
    from staging.judged as j
    inner join asked as a on j.term = a.term and j.setting = a.setting and j.quiz = a.quiz
    where a.questions > 1
    group by j.term, j.setting, j.quiz, j.student, a.questions
    having count(distinct j.item) = a.questions and count(*) = a.questions
)
select
    j.term, j.setting, j.quiz, j.item, w.score,
    count(*)::integer as students, sum(1 - j.wrong)::integer as right_answers
from staging.judged as j
inner join whole as w
    on j.term = w.term and j.setting = w.setting and j.quiz = w.quiz and j.student = w.student
group by j.term, j.setting, j.quiz, j.item, w.score
