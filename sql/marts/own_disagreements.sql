-- Questions on which our check and the source's score differ; small groups in one sum.
select
    r.term, -- id of the term
    split_part(r.part, ': ', 1) as setting, -- practice, quiz or exam
    r.name as item, -- id of the question; null in the row of questions with few such students
    nullif(r.detail, '') as topic, -- id of the topic
    split_part(r.part, ': ', 2) as kind, -- which way they differ
    r.answers, -- answers on which they differ
    r.students, -- distinct students
    r.note -- what the row sums, or why figures are missing
from staging.apart_row as r
where r.list = 'disagreements'
