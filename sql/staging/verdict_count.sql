-- Answers by verdict, and all students, for the summary of a run.
select
    a.verdict, sum(a.count)::bigint as answers,
    (select count(distinct s.student) from store.response as s)::bigint as students
from staging.answer as a
where a.verdict is not null
group by a.verdict
