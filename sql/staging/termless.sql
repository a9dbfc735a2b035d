-- Answers with neither a date nor a semester, by file: no page counts them.
select r.file, sum(r.count)::bigint as answers
from store.response as r
where r.term is null and r.answered_on is null
group by r.file
