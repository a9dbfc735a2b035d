-- One error pattern of the catalogue or of the course.
select
    cast(null as varchar) as pattern, -- id
    cast(null as integer) as position, -- order in the catalogue, from 1
    cast(null as varchar) as skill, -- skill that it touches
    cast(null as varchar) as sentence, -- what the student did
    cast(null as varchar) as source, -- where it was observed
    cast(null as varchar[]) as tasks, -- tasks in which it can happen
    cast(null as varchar[]) as formulas, -- wrong answers of one of the course's own, in the problem's numbers
    cast(null as boolean) as general, -- whether it is a slip of the pen or in arithmetic
    cast(null as varchar) as example_task, -- task of the worked example
    cast(null as varchar) as example_problem, -- question of the worked example
    cast(null as varchar) as example_wrong, -- wrong answer of the worked example
    cast(null as varchar) as example_right, -- right answer of the worked example
    cast(null as varchar[]) as example_wrong_work, -- its working with the error, a line an entry, the question first
    cast(null as varchar[]) as example_right_work -- its working without
where false
