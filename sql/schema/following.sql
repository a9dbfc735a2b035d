-- One wrong answer to a later part that is right with the student's own answer to an earlier part.
select
    cast(null as bigint) as response, -- integer key of the answer
    cast(null as varchar) as follows_from -- id of the earlier part
where false
