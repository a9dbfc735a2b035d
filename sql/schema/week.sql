-- One teaching week.
select
    cast(null as varchar) as term, -- id of the term
    cast(null as integer) as week, -- teaching week, from 1
    cast(null as date) as first_day, -- first day of the week
    cast(null as date) as last_day -- last day that counts to it; an answer in a break belongs to the week before
where false
