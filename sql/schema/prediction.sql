-- One wrong or right value to which one fault leads on a question really asked.
select
    cast(null as varchar) as task, -- task of the catalogue
    cast(null as varchar) as problem, -- the question
    cast(null as varchar) as numbers, -- real or complex
    cast(null as varchar) as method, -- procedure that was taught
    cast(null as varchar) as value_key, -- canonical key of the predicted value
    cast(null as varchar[]) as faults, -- the fault
    cast(null as varchar) as pattern, -- the fault
    cast(null as double) as weight, -- what it weighs before the class is known
    cast(null as boolean) as wrong, -- whether the value differs from the right answer
    cast(null as boolean) as by_hand -- whether it stands for a person's tag of that value
where false
