-- One topic of the course.
select
    cast(null as varchar) as topic, -- id of the topic
    cast(null as varchar) as title, -- name on the pages
    cast(null as integer) as position, -- order in the course, from 1
    cast(null as integer) as first_week, -- teaching week in which it begins
    cast(null as varchar) as outcome, -- id of the outcome that it serves
    cast(null as varchar[]) as needs, -- ids of topics that come before and are used here
    cast(null as double) as weight -- how much an error in it costs, 1 is usual
where false
