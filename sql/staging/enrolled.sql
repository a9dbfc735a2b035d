-- Every student with any answer, by term and class section.
select distinct a.term, a.section, a.student
from staging.answer as a
where a.student is not null and a.term is not null
