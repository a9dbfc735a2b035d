-- One distinct answer to one distinct question, judged.
select
    cast(null as bigint) as examined, -- key of the judged answer
    cast(null as varchar) as task, -- task of the catalogue, or judge
    cast(null as varchar) as problem, -- the question
    cast(null as varchar) as key, -- right answer where the course gives it
    cast(null as varchar) as numbers, -- real or complex
    cast(null as varchar) as form, -- form asked for
    cast(null as varchar) as method, -- procedure that was taught
    cast(null as varchar) as answer, -- what was typed
    cast(null as varchar) as work, -- lines of working
    cast(null as varchar) as verdict, -- right, right-other-form, right-if-meant, too-coarse, wrong, unreadable, blank or no-key
    cast(null as varchar) as read_as, -- value used, in plain notation
    cast(null as varchar) as value, -- value used, as sympy source
    cast(null as varchar) as value_key, -- canonical key of the value used
    cast(null as varchar[]) as readings, -- sympy source of every legitimate reading
    cast(null as varchar) as reason, -- why unreadable, or what to know of the verdict
    cast(null as varchar) as brackets, -- convention by which brackets that were not typed would make it right; null where none are in doubt
    cast(null as integer) as first_wrong_line, -- line of working that does not follow, from 1; 0 when all follow
    cast(null as varchar) as own_rules, -- fingerprint of the course's own errors and options that it was held against; empty when none concern it
    cast(null as double) as unexplained, -- share of no known error before the class is known; null unless wrong as it stands
    cast(null as boolean) as by_hand -- whether a person laid this answer to an error
where false
