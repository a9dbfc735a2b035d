-- Wrong answers that no known error fits, by value; values that few students gave in one sum.
with given as (
    select
        u.term, u.item, u.problem, u.read_as, u.share_unexplained, a.student, a.count,
        -- A long number may be a telephone or student number, a word the name of somebody.
        u.students >= c.minimum_students
        and not regexp_matches(u.read_as, '@|[0-9]{7,}|[0-9]{3} ?[−-] ?[0-9]{3,4} ?[−-] ?[0-9]{4}')
        and not regexp_matches(
            regexp_replace(
                u.read_as,
                '(?i)sqrt|root|infinity|numbers|solution|real|does|know|nothing|typed|cannot|factored|between',
                ' ', 'g'
            ),
            '[a-zA-Z]{4,}'
        ) as shown,
        c.minimum_students
    from main.unexplained_answers as u
    inner join staging.answer as a
        on u.item = a.item and u.problem is not distinct from a.problem
        and u.term is not distinct from a.term and u.topic is not distinct from a.topic
        and u.value_key is not distinct from a.value_key and a.verdict = 'wrong'
    cross join store.course as c
),
summed as (
    select
        g.term, if(g.shown, g.item, null) as item, if(g.shown, g.problem, null) as problem,
        if(g.shown, g.read_as, null) as read_as, g.shown, g.minimum_students,
        sum(g.count)::integer as answers, count(distinct g.student)::integer as students,
        avg(g.share_unexplained) as share_unexplained
    from given as g
    group by all
)
select
    s.term, -- id of the term
    s.item, -- id of the question; null in the row of rare values
    s.problem, -- the question as these students saw it
    s.read_as, -- value that they gave, in plain notation
    if(s.students >= s.minimum_students, s.answers, null) as answers, -- answers
    if(s.students >= s.minimum_students, s.students, null) as students, -- students who gave them
    if(s.students >= s.minimum_students, s.share_unexplained, null) as share_unexplained, -- fraction that no known error fits
    case
        when s.students < s.minimum_students then 'hidden: fewer than ' || s.minimum_students || ' students'
        when not s.shown then 'values that fewer than ' || s.minimum_students || ' students gave, together'
    end as note -- what the row sums, or why figures are missing
from summed as s
