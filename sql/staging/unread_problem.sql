-- Problems with an algebra task that no answer could be judged by, and where they came first.
select
    a.item, coalesce(a.problem, '') as problem, any_value(a.reason) as reason,
    arg_min(a.file, a.response) as file, arg_min(a.line, a.response) as line,
    sum(a.count)::bigint as answers
from staging.answer as a
where a.place = 'task' and a.verdict = 'no-key'
group by a.item, coalesce(a.problem, '')
