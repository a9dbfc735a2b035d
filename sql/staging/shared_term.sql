-- The terms by which everyone sees answers: those of the course's own list, else one for all, without dates.
select
    t.term as own_term,
    if(c.declared_terms, t.term, 'all answers') as term,
    if(c.declared_terms, t.title, 'All answers') as title,
    if(c.declared_terms, t.position, 1) as position,
    if(c.declared_terms, t.first_day, null) as first_day,
    if(c.declared_terms, t.last_day, null) as last_day,
    if(c.declared_terms, coalesce(t.weeks, 1), null) as weeks,
    c.declared_terms as dated -- else its weeks are those of the calendar: its own would begin with somebody's first answer
from store.term as t
cross join (
    select coalesce(o.declared_terms, true) as declared_terms from store.course as o
) as c
