-- Why answers could not be read. Reasons that quote an answer are cut at the quotation, which an apostrophe in a word does not begin.
with counted as (
    select
        a.term,
        trim(regexp_replace(coalesce(a.reason, 'no reason kept'), '([:("‘“`«]|(^|[^\pL])[''’]).*$', '')) as reason,
        sum(a.count)::bigint as answers,
        count(distinct a.student)::integer as students
    from staging.answer as a
    where a.verdict = 'unreadable'
    group by all
)
select
    n.term, -- id of the term
    n.reason, -- why they could not be read
    if(n.students >= c.minimum_students, n.answers, null) as answers, -- answers
    if(n.students >= c.minimum_students, n.students, null) as students, -- distinct students
    if(n.students >= c.minimum_students, null, 'hidden: fewer than ' || c.minimum_students || ' students') as note -- why figures are missing
from counted as n
cross join store.course as c
