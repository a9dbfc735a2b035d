-- Answers that are right only if brackets were meant, by question; those of few students in one row.
with given as (
    select
        a.term, a.item, a.student, a.count,
        case
            when a.brackets like 'root-%' then 'root'
            when a.brackets like 'exponent-%' or a.brackets = 'minus-before-power' then 'power'
            else 'fraction'
        end as bracketed
    from staging.answer as a
    where a.verdict = 'right-if-meant'
),
by_question as (
    select
        g.term, g.item, g.bracketed, count(distinct g.student) >= c.minimum_students as shown,
        c.minimum_students
    from given as g
    cross join store.course as c
    group by g.term, g.item, g.bracketed, c.minimum_students
),
summed as (
    select
        g.term, if(q.shown, g.item, null) as item, if(q.shown, g.bracketed, null) as bracketed,
        q.minimum_students, sum(g.count)::bigint as answers,
        count(distinct g.student)::integer as students
    from given as g
    inner join by_question as q
        on g.term is not distinct from q.term and g.item = q.item and g.bracketed = q.bracketed
    group by all
)
select
    s.term, -- id of the term; null for days outside every term
    s.item, -- id of the question; null in the row of all others
    s.bracketed, -- what would have to be in brackets: fraction, root or power; null in the row of all others
    if(s.students >= s.minimum_students, s.answers, null) as answers, -- answers that hang on it
    if(s.students >= s.minimum_students, s.students, null) as students, -- students who gave them
    if(s.students >= s.minimum_students, null, 'hidden: fewer than ' || s.minimum_students || ' students') as note -- why figures are missing
from summed as s
