-- The course as the pages for everyone open with it; no count of students.
select
    o.title, -- the course's name
    o.minimum_students, -- groups, numerators and complements of fewer distinct students appear nowhere
    o.rule_set, -- fingerprint of catalogue, reader and procedures that judged the answers
    o.items, -- fingerprint of the questions
    o.exports, -- fingerprint of all answer exports
    o.current_term, -- id of the latest term with answers of enough students
    o.current_term_title, -- its name
    o.current_week, -- last teaching week of it with answers
    o.last_answer -- last day with an answer, in the course's zone
from main.own_course as o
