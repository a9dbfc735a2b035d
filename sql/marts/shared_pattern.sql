-- The catalogue of errors with one worked example each.
select
    p.pattern, -- id of the error
    p.position, -- order in the catalogue, from 1
    p.skill, -- skill that it touches
    p.sentence, -- what was done
    p.source, -- where it was observed
    p.general, -- whether it is a slip of the pen or in arithmetic
    p.example_task, -- task of the worked example
    p.example_problem, -- question of the worked example
    p.example_wrong, -- wrong answer of the worked example
    p.example_right, -- right answer of the worked example
    p.example_wrong_work, -- its working with the error, a line an entry, the question first
    p.example_right_work -- its working without
from main.own_pattern as p
