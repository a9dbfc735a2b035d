-- Why answers could not be read; reasons of few students in one sum.
select
    r.term, -- id of the term
    r.name as reason, -- why they could not be read; null in the row that sums the others
    r.answers, -- answers
    r.students, -- distinct students
    r.note -- what the row sums, or why figures are missing
from staging.apart_row as r
where r.list = 'unreadable'
