-- Numbers for the rows of the tables for everyone, errors apart.
select
    row_number() over (order by r.subject, r.term, r.setting, r.topic)::integer as cell,
    r.subject, r.term, r.setting, r.topic
from (select distinct s.subject, s.term, s.setting, s.topic from staging.shared_row as s) as r
