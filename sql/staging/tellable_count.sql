-- Wrong answers to questions that can show an error, for the summary of a run.
select coalesce(sum(a.count), 0)::bigint as answers
from staging.answer as a
where a.verdict = 'wrong' and a.covered
