-- One version of one question of the items file.
select
    cast(null as varchar) as item, -- id of the question
    cast(null as varchar) as item_from, -- date or term from which this version is in force, empty for the first
    cast(null as varchar) as topic, -- id of the topic
    cast(null as varchar) as place, -- task, judge, choice or skip
    cast(null as varchar) as task, -- task of the catalogue, or judge
    cast(null as varchar) as problem, -- the question in typed notation
    cast(null as varchar) as key, -- right answer where the course gives it
    cast(null as varchar) as form, -- form asked for
    cast(null as varchar) as numbers, -- real or complex
    cast(null as varchar) as outcome, -- id of the outcome
    cast(null as varchar) as options, -- options of a choice, as typed in the items file
    cast(null as varchar) as quiz, -- quiz or assignment that holds the question
    cast(null as integer) as week, -- teaching week in which it is assigned
    cast(null as varchar) as method, -- procedure that was taught for it
    cast(null as varchar) as follows, -- id of the earlier part whose answer stands in the problem
    cast(null as varchar) as same, -- id of the question that this one asks again with other numbers, as declared
    cast(null as varchar) as record, -- all that the row said, as JSON: it stays in force for its answers if the row is taken out
    cast(null as boolean) as listed, -- whether the list has it; else it stays in force for its answers alone
    cast(null as integer) as position -- order in the items file, from 1
where false
