-- What the loads had to say besides their rows.
with counted as (
    select
        n.file, n.sentence,
        -- A sentence about rows ends in their number, and in where the first of them stands: one student's row.
        regexp_extract(n.sentence, '^(.*: )([0-9,]+)( \(first in line [0-9]+\))?$', ['what', 'rows']) as parts
    from store.note as n
)
select distinct
    n.file, -- export that was read
    if(
        try_cast(replace(n.parts['rows'], ',', '') as integer) < c.minimum_students,
        n.parts['what'] || 'fewer than ' || c.minimum_students, n.sentence
    ) as sentence -- one plain sentence
from counted as n
cross join store.course as c
