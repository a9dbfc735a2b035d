-- Tasks that were searched for wrong rules that nobody has named yet.
select
    cast(null as varchar) as task, -- the task
    cast(null as varchar) as made_from, -- fingerprint of all that the search looked at
    cast(null as varchar) as program -- fingerprint of the program that searched
where false
