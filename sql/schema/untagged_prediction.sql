-- One predicted value that a person's tag of an answer took the place of, to be brought back when the tag goes.
select
    cast(null as varchar) as task, -- task of the catalogue
    cast(null as varchar) as problem, -- the question
    cast(null as varchar) as numbers, -- real or complex
    cast(null as varchar) as method, -- procedure that was taught
    cast(null as varchar) as value_key, -- canonical key of the predicted value
    cast(null as varchar[]) as faults, -- the fault
    cast(null as varchar) as pattern, -- the fault
    cast(null as double) as weight, -- what it weighs before the class is known
    cast(null as boolean) as wrong -- whether the value differs from the right answer
where false
