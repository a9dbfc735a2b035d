-- One row of an export that could not be taken.
select
    cast(null as varchar) as file, -- export that held it
    cast(null as integer) as line, -- line or row, from 1
    cast(null as varchar) as "column", -- column at fault
    cast(null as varchar) as reason, -- what was wrong and the way out
    cast(null as varchar) as value, -- the value at fault; null wherever it could identify a person
    cast(null as boolean) as needs_look, -- false when it was left out on purpose
    cast(null as varchar) as source_place -- where it stood in an export of many parts, as `member.xml:12:5`
where false
