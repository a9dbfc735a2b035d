-- The course as the pages for everyone open with it; nothing here moves with one student.
select
    c.title, -- the course's name
    c.minimum_students, -- groups, numerators and complements of fewer distinct students appear nowhere
    c.rule_set, -- fingerprint of catalogue, reader and procedures that judged the answers
    t.term as current_term, -- id of the latest term with a closed period
    t.title as current_term_title, -- its name
    if(t.dated, least(l.last, t.weeks), 0) as current_week, -- last teaching week that is counted; 0 without a calendar
    c.shared_weeks -- weeks of a period
from store.course as c
left join (
    select p.term, max(p.last) as last
    from store.shared_printed as p
    inner join staging.shared_term as w on p.term = w.term
    where p.subject = 'wrong'
    group by p.term, w.position
    order by w.position desc
    limit 1
) as l on true
left join (
    select distinct w.term, w.title, w.weeks, w.dated from staging.shared_term as w
) as t on l.term = t.term
