-- Answers that are right only if brackets were meant, by question; those of few students in one row.
with given as (
    select
        a.term, a.setting, a.topic, a.item, a.student, a.examined, a.count,
        case
            when a.brackets like 'root-%' then 'root'
            when a.brackets like 'exponent-%' or a.brackets = 'minus-before-power' then 'power'
            when a.brackets = 'argument-over-product' then 'function'
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
placed as (
    select
        g.term, if(q.shown, g.item, null) as item, if(q.shown, g.bracketed, null) as bracketed,
        g.setting, g.topic, g.student, g.examined, g.count, q.minimum_students
    from given as g
    inner join by_question as q
        on g.term is not distinct from q.term and g.item = q.item and g.bracketed = q.bracketed
),
summed as (
    select
        p.term, p.item, p.bracketed, p.minimum_students, sum(p.count)::bigint as answers,
        count(distinct p.student)::integer as students
    from placed as p
    group by p.term, p.item, p.bracketed, p.minimum_students
),
laid as (
    select p.term, p.item, p.bracketed, s.pattern, sum(p.count * s.share) as expected
    from placed as p
    inner join computed.bracket_share as s
        on p.examined = s.examined
        and p.setting = s.setting
        and coalesce(p.term, '') = s.term
        and coalesce(p.topic, '') = s.topic
    group by p.term, p.item, p.bracketed, s.pattern
),
weighed as (
    select
        l.term, l.item, l.bracketed, round(sum(l.expected))::bigint as told,
        coalesce(sum(l.expected) filter (where l.pattern = 'right'), 0) as meant,
        arg_max(l.pattern, (l.expected, l.pattern)) filter (where l.pattern not in ('right', 'unexplained')) as otherwise
    from laid as l
    group by l.term, l.item, l.bracketed
)
select
    s.term, -- id of the term; null for days outside every term
    s.item, -- id of the question; null in the row of all others
    s.bracketed, -- what would have to be in brackets: fraction, root, power or argument of a function; null in the row of all others
    if(s.students >= s.minimum_students, s.answers, null) as answers, -- answers that hang on it
    if(s.students >= s.minimum_students, s.students, null) as students, -- students who gave them
    if(s.students >= s.minimum_students, w.told, null) as told, -- of these answers, those of classes whose other answers say how likely brackets were meant
    if(s.students >= s.minimum_students, w.meant, null) as meant, -- of those told, expected answers with brackets meant
    if(s.students >= s.minimum_students and s.item is not null, w.otherwise, null) as otherwise, -- id of the error that explains most of the others; null in the row of all others
    if(s.students >= s.minimum_students, null, 'hidden: fewer than ' || s.minimum_students || ' students') as note -- why figures are missing
from summed as s
left join weighed as w
    on s.term is not distinct from w.term
    and s.item is not distinct from w.item
    and s.bracketed is not distinct from w.bracketed
