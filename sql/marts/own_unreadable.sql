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
),
judged as (
    select
        n.term, n.reason, n.answers, n.students, c.minimum_students,
        n.students < c.minimum_students as small,
        count(*) filter (n.students < c.minimum_students) over (partition by n.term) as hidden,
        row_number() over (
            partition by n.term, n.students < c.minimum_students
            order by n.reason
        ) as place
    from counted as n
    cross join store.course as c
),
marked as (
    -- One hidden reason alone could be worked out from the number of all unreadable answers.
    select
        j.term, j.reason, j.answers, j.students, j.minimum_students,
        not j.small and not (j.hidden = 1 and j.place = 1) as shown
    from judged as j
)
select
    n.term, -- id of the term
    n.reason, -- why they could not be read
    if(n.shown, n.answers, null) as answers, -- answers
    if(n.shown, n.students, null) as students, -- distinct students
    if(n.shown, null, 'hidden: fewer than ' || n.minimum_students || ' students, or so that no such count can be worked out') as note -- why figures are missing
from marked as n
