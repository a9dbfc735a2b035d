-- Rows of exports that could not be taken.
select
    r.file, -- export that held it
    r.line, -- line or row, from 1
    r.source_place, -- where it stood in an export of many parts, as `member.xml:12:5`
    r.column, -- column at fault
    r.value, -- the value at fault; null wherever it could identify a person
    r.reason, -- what was wrong and the way out
    r.needs_look -- false when it was left out on purpose
from store.rejected as r
