-- Wrong rules that nobody has named yet, found by search in the answers that nothing explains.
select
    cast(null as integer) as position, -- 1 for the one that most answers speak for
    cast(null as varchar) as task, -- task of its questions
    cast(null as varchar) as rule, -- the rule as a course's own pattern says it
    cast(null as varchar) as what, -- the rule in words
    cast(null as integer) as answers, -- answers that it explains
    cast(null as integer) as students, -- distinct students who gave them
    cast(null as integer) as questions, -- distinct questions
    cast(null as double) as by_noise, -- fraction of exchanges of answers in which some rule does as well, 0 to 1
    cast(null as varchar[]) as readings, -- other rules that foretell the same answers here
    cast(null as varchar) as decided_by, -- smallest question on which one of them foretells another answer; null where none was found
    cast(null as varchar[]) as example_problems, -- two of the questions
    cast(null as varchar[]) as example_answers -- what it makes of them
where false
