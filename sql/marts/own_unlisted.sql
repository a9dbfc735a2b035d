-- Questions that no row of the items file lists, by number of answers; those of few students in one sum.
with counted as (
    select a.term, a.item, count(distinct a.student) as students
    from staging.answer as a
    where a.place = 'unlisted'
    group by a.term, a.item
),
named as (
    select
        n.term, n.item, c.minimum_students,
        -- What stands in a question's place by mistake, such as a student's id, names a person.
        n.students >= c.minimum_students
        and not regexp_matches(coalesce(n.item, ''), '@|[0-9]{7,}|[0-9]{3}[-. ][0-9]{3,4}') as shown
    from counted as n
    cross join store.course as c
),
summed as (
    select
        n.term, if(n.shown, n.item, null) as item, n.shown, n.minimum_students,
        sum(a.count)::bigint as answers, count(distinct a.student)::integer as students
    from named as n
    inner join staging.answer as a
        on n.term is not distinct from a.term and n.item is not distinct from a.item
    where a.place = 'unlisted'
    group by all
)
select
    s.term, -- id of the term
    s.item, -- the question as the export names it; null in the row that sums the others
    if(s.students >= s.minimum_students, s.answers, null) as answers, -- stored answers
    if(s.students >= s.minimum_students, s.students, null) as students, -- distinct students
    case
        when s.students < s.minimum_students then 'hidden: fewer than ' || s.minimum_students || ' students'
        when not s.shown then 'questions that fewer than ' || s.minimum_students || ' students answered, together'
    end as note -- what the row sums, or why figures are missing
from summed as s
