-- One lesson or video of the course.
select
    cast(null as varchar) as lesson, -- id of the lesson
    cast(null as varchar) as term, -- id of the term
    cast(null as date) as day, -- day on which it was given
    cast(null as integer) as week, -- teaching week of that day
    cast(null as varchar) as title, -- name on the pages
    cast(null as varchar[]) as topics, -- ids of the topics that it treats
    cast(null as varchar[]) as patterns, -- ids of the error patterns that it addresses
    cast(null as varchar[]) as sections -- class sections that had it; empty for all
where false
