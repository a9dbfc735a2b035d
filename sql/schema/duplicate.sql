-- One row of an export that was stored before.
select
    cast(null as varchar) as file, -- export that held it
    cast(null as integer) as line, -- line or row, from 1
    cast(null as bigint) as response -- the answer that it repeats
where false
