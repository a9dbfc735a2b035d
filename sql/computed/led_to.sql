-- What a search of a whole question found: rules of one step that lead to an answer which several gave.
select
    cast(null as varchar) as task, -- task of the question
    cast(null as varchar) as problem, -- the question
    cast(null as varchar) as numbers, -- real or complex
    cast(null as varchar) as value_key, -- value of the answer
    cast(null as varchar[]) as rules -- the rules; none where none leads there
where false
