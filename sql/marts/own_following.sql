-- Wrong answers to later parts that follow from the student's own earlier answer, by term.
with given as (
    select a.term, sum(a.count)::bigint as answers, count(distinct a.student)::integer as students
    from staging.answer as a
    where a.follows_from is not null
    group by a.term
)
select
    g.term, -- id of the term; null for days outside every term
    if(g.students >= c.minimum_students, g.answers, null) as answers, -- answers that follow
    if(g.students >= c.minimum_students, g.students, null) as students, -- students who gave them
    if(g.students >= c.minimum_students, null, 'hidden: fewer than ' || c.minimum_students || ' students') as note -- why figures are missing
from given as g
cross join store.course as c
