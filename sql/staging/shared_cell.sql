-- Numbers for the rows of the tables for everyone, errors apart.
select
    row_number() over (order by r.subject, r.term, r.setting, r.topic)::integer as cell,
    r.subject, r.term, r.setting, r.topic
from (
    select distinct 'wrong' as subject, a.term, a.setting, a.topic
    from staging.shared_answer as a
    inner join store.topic as t on a.topic = t.topic
    where a.first_try and a.verdict in ('right', 'right-other-form', 'wrong')
    union all
    select distinct 'outcome' as subject, s.term, '' as setting, s.outcome as topic
    from staging.shared_reached as s
) as r
