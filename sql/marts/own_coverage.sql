-- What became of the questions and answers, by what each question is.
with counted as (
    select
        a.term,
        if(a.place = 'task' and a.verdict = 'no-key', 'unread', a.place) as place,
        a.covered,
        count(distinct a.item)::integer as questions,
        sum(a.count)::bigint as answers,
        count(distinct a.student)::integer as students
    from staging.answer as a
    group by all
)
select
    n.term, -- id of the term; null for days outside every term
    n.place, -- task, judge, choice, skip, unlisted, or unread where the problem cannot be read
    n.covered, -- whether its errors can be told
    n.questions, -- questions with any answer
    if(n.students >= c.minimum_students, n.answers, null) as answers, -- stored answers
    if(n.students >= c.minimum_students, n.students, null) as students, -- distinct students
    if(n.students >= c.minimum_students, null, 'hidden: fewer than ' || c.minimum_students || ' students') as note -- why figures are missing
from counted as n
cross join store.course as c
