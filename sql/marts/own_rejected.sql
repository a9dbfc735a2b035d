-- Rows that could not be taken and need a look, by file and reason.
select
    r.file, -- export that held them
    r.reason, -- what was wrong and the way out
    if(count(*) >= any_value(c.minimum_students), count(*), null)::integer as "rows", -- rows; none under the limit
    if(count(*) >= any_value(c.minimum_students), min(r.line), null)::integer as first_line, -- the first of them; likewise
    bool_or(r.needs_look) as needs_look -- false when they were left out on purpose
from store.rejected as r
cross join store.course as c
where r.needs_look -- what was left out on purpose tells of single students
group by r.file, r.reason
