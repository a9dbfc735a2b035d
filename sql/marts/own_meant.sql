-- Answers that are right only if brackets were meant, by question; those of few students in one row.
with laid as (
    select
        a.term, if(p.joins, null, a.item) as item, if(p.joins, null, p.detail) as bracketed, s.pattern,
        sum(a.count * s.share) as expected
    from staging.told_answer as a
    left join staging.bracketed as b on a.brackets = b.brackets
    inner join staging.apart as p
        on p.list = 'meant' and a.term is not distinct from p.term and a.item = p.name
        and coalesce(b.bracketed, 'fraction') = p.detail
    inner join computed.bracket_share as s
        on a.examined = s.examined
        and a.setting = s.setting
        and coalesce(a.term, '') = s.term
        and coalesce(a.topic, '') = s.topic
    where a.verdict = 'right-if-meant'
    group by all
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
    r.term, -- id of the term; null for days outside every term
    r.name as item, -- id of the question; null in the row of all others
    r.detail as bracketed, -- what would have to be in brackets: fraction, root, power or argument of a function; null in the row of all others
    r.answers, -- answers that hang on it
    r.students, -- students who gave them
    if(r.answers is null, null, w.told) as told, -- of these answers, those of classes whose other answers say how likely brackets were meant
    if(r.answers is null, null, w.meant) as meant, -- of those told, expected answers with brackets meant
    if(r.answers is null or r.name is null, null, w.otherwise) as otherwise, -- id of the error that explains most of the others; null in the row of all others
    r.note -- what the row sums, or why figures are missing
from staging.apart_row as r
left join weighed as w
    on r.term is not distinct from w.term
    and r.name is not distinct from w.item
    and r.detail is not distinct from w.bracketed
where r.list = 'meant'
