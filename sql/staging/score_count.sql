-- Students by total score on each quiz that they answered whole, and how many got each question right.
with asked as (
    select j.term, j.setting, j.quiz, count(distinct j.item) as questions
    from staging.judged as j
    where j.quiz is not null
    group by j.term, j.setting, j.quiz
),
met_some as (
    -- All right answers less those of the whole quiz would tell what few others did.
    select a.term, a.setting, a.quiz, count(distinct j.student) as students
    from (select distinct b.term, b.setting, b.quiz, b.item from staging.judged as b) as a
    inner join staging.judged as j on a.term = j.term and a.setting = j.setting and a.item = j.item
    group by a.term, a.setting, a.quiz
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
    count(*)::integer as students, sum(1 - j.wrong)::integer as right_answers,
    any_value(o.students - n.students)::integer as others -- students who answered some of its questions only
from staging.judged as j
inner join whole as w
    on j.term = w.term and j.setting = w.setting and j.quiz = w.quiz and j.student = w.student
inner join met_some as o on j.term = o.term and j.setting = o.setting and j.quiz = o.quiz
inner join (
    select v.term, v.setting, v.quiz, count(*) as students
    from whole as v
    group by v.term, v.setting, v.quiz
) as n on j.term = n.term and j.setting = n.setting and j.quiz = n.quiz
group by j.term, j.setting, j.quiz, j.item, w.score
