-- Questions that tell the first errors of the next lesson from others, found by search.
select
    cast(null as varchar) as term, -- id of the term
    cast(null as varchar) as setting, -- practice, quiz or exam
    cast(null as varchar) as pattern, -- id of the error, or ids joined by ' / '
    cast(null as integer) as place, -- 1 for the question that tells most
    cast(null as varchar) as item, -- question of the course that it is, or is like
    cast(null as varchar) as task, -- its task
    cast(null as varchar) as problem, -- the question in typed notation
    cast(null as varchar) as standing, -- new, varied (other numbers) or asked (the class has met it)
    cast(null as varchar[]) as typed, -- answers that say something, the right one first
    cast(null as varchar[]) as meanings, -- ids of the errors that lead to each, joined by ' / '; empty for the right one
    cast(null as varchar) as made_from -- fingerprint of all that the search looked at
where false
