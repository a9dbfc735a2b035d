-- What each answer adds to each row of the tables for everyone: those that are right or wrong, and those behind a student's outcome.
with told as (
    select distinct p.subject, a.mark
    from staging.shared_answer as a
    inner join (select d.day, unnest(d.near) as what from staging.shared_day as d) as n on a.day = n.day
    inner join (select d.subject, unnest(d.marks) as mark from store.shared_printed as d) as p
        on (a.mark >> 32 << 32) + n.what = p.mark
),
behind as (
    select distinct c.cell, a.mark, r.met
    from staging.shared_reached as r
    inner join staging.shared_cell as c on c.subject = 'outcome' and r.term = c.term and r.outcome = c.topic
    inner join staging.serves as s on r.outcome = s.outcome
    inner join staging.shared_answer as a on r.term = a.term and r.student = a.student and s.item = a.item
)
select
    c.cell, a.week, a.mark, a.response,
    1 as n, -- 1; of a student's answers behind an outcome, 1 for one of them
    (a.verdict = 'wrong')::integer as y, -- whether it is wrong, or the bar is met
    a.mark in (select t.mark from told as t where t.subject = 'wrong') as told -- whether it stands in a printed cell
from staging.shared_answer as a
inner join staging.shared_cell as c
    on c.subject = 'wrong' and a.term = c.term and a.setting = c.setting and a.topic = c.topic
where a.first_try and a.verdict in ('right', 'right-other-form', 'wrong')
union all
-- An outcome is known when the semester is over: it counts behind all of its weeks.
select
    b.cell, 999999 as week, b.mark, null as response,
    (row_number() over (partition by b.cell, b.mark >> 32 order by b.mark) = 1)::integer as n,
    if(n = 1, b.met, false)::integer as y,
    b.mark in (select t.mark from told as t where t.subject = 'outcome') as told
from behind as b
