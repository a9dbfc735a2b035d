-- Questions that no row of the items file lists, by number of answers; those of few students in one sum.
select
    r.term, -- id of the term
    r.name as item, -- the question as the export names it; null in the row that sums the others
    r.answers, -- stored answers
    r.students, -- distinct students
    r.note -- what the row sums, or why figures are missing
from staging.apart_row as r
where r.list = 'unlisted'
