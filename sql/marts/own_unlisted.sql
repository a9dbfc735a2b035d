-- Questions that no row of the items file lists, by number of answers.
with counted as (
    select a.term, a.item, sum(a.count)::bigint as answers,
        count(distinct a.student)::integer as students
    from staging.answer as a
    where a.place = 'unlisted'
    group by a.term, a.item
)
select
    n.term, -- id of the term
    n.item, -- the question as the export names it
    if(n.students >= c.minimum_students, n.answers, null) as answers, -- stored answers
    if(n.students >= c.minimum_students, n.students, null) as students, -- distinct students
    if(n.students >= c.minimum_students, null, 'hidden: fewer than ' || c.minimum_students || ' students') as note -- why figures are missing
from counted as n
cross join store.course as c
