-- The course as the pages for everyone open with it; nothing here moves with one student.
select
    c.title, -- the course's name
    c.minimum_students, -- groups, numerators and complements of fewer distinct students appear nowhere
    c.rule_set, -- fingerprint of catalogue, reader and procedures that judged the answers
    c.items, -- fingerprint of the questions
    t.term as current_term, -- id of the latest term with a closed period
    t.title as current_term_title, -- its name
    least(l.last * c.shared_weeks, t.weeks) as current_week, -- last teaching week that is counted
    c.shared_weeks -- weeks of a period
from store.course as c
left join (
    select p.term, max(p.last) as last
    from store.shared_printed as p
    inner join store.term as w on p.term = w.term
    where p.subject = 'wrong' and p.answers is not null
    group by p.term, w.position
    order by w.position desc
    limit 1
) as l on true
left join store.term as t on l.term = t.term
