-- Wrong rules that nobody has named yet and that enough students share; figures are rounded down to multiples of the limit, so that no small group can be worked out.
select
    p.position, -- 1 for the one that most answers speak for
    p.task, -- task of its questions
    p.what, -- the rule in words
    p.answers // c.minimum_students * c.minimum_students as answers, -- at least so many answers are explained by it
    p.students // c.minimum_students * c.minimum_students as students, -- at least so many students gave them
    p.questions, -- distinct questions
    p.by_noise, -- fraction of exchanges of answers in which some rule does as well, 0 to 1
    p.readings, -- other rules that foretell the same answers here
    p.decided_by, -- smallest question on which one of them foretells another answer
    p.example_problems, -- two of the questions
    p.example_answers -- what it makes of them
from computed.proposal as p
cross join store.course as c
where p.students >= c.minimum_students
