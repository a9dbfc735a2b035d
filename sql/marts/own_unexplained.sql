-- Wrong answers that no known error fits, by value; values that few students gave in one sum.
with figures as (
    select
        u.term, u.answers, u.share_unexplained, c.minimum_students,
        u.students >= c.minimum_students as shown,
        if(u.students >= c.minimum_students, u.item, null) as item,
        if(u.students >= c.minimum_students, u.problem, null) as problem,
        if(u.students >= c.minimum_students, u.read_as, null) as read_as,
        if(u.students >= c.minimum_students, u.students, null) as students
    from main.unexplained_answers as u
    cross join store.course as c
)
select
    f.term, -- id of the term
    f.item, -- id of the question; null in the row of rare values
    f.problem, -- the question as these students saw it
    f.read_as, -- value that they gave, in plain notation
    sum(f.answers)::integer as answers, -- answers
    f.students, -- students who gave it
    sum(f.answers * f.share_unexplained) / sum(f.answers) as share_unexplained, -- fraction that no known error fits
    if(f.shown, null, 'values that fewer than ' || f.minimum_students || ' students gave, together') as note -- what the row sums
from figures as f
group by f.term, f.item, f.problem, f.read_as, f.students, f.shown, f.minimum_students
