-- What became of the questions and answers, by what each question is.
with asked as (
    select
        a.term, if(a.place = 'task' and a.verdict = 'no-key', 'unread', a.place) as place, a.covered,
        count(distinct a.item)::integer as questions
    from staging.answer as a
    group by all
)
select
    n.term, -- id of the term; null for days outside every term
    n.place, -- task, judge, choice, skip, unlisted, or unread where the problem cannot be read
    n.covered, -- whether its errors can be told
    n.questions, -- questions with any answer
    if(p.joins, null, p.answers) as answers, -- stored answers; none of a setting that few students answered in
    if(p.joins, null, p.students) as students, -- distinct students
    if(p.joins is not false, 'hidden: fewer than ' || c.minimum_students || ' students, or so that no such count can be worked out', null) as note -- why figures are missing
from asked as n
cross join store.course as c
left join staging.apart as p
    on p.list = 'coverage' and n.term is not distinct from p.term and n.place = p.name
    and n.covered::varchar = p.detail
