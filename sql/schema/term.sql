-- One term of the course.
select
    cast(null as varchar) as term, -- id of the term
    cast(null as varchar) as title, -- name on the pages
    cast(null as integer) as position, -- order in time, from 1
    cast(null as date) as first_day, -- first teaching day
    cast(null as date) as last_day, -- last day, breaks included
    cast(null as integer) as weeks -- teaching weeks, breaks not counted
where false
