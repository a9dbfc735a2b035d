-- Questions behind the cells of the tables for everyone: those asked there, so that a question that moves is told again; of an outcome, those that serve it.
select distinct a.term, a.setting, a.topic as name, a.item
from staging.shared_answer as a
where a.topic is not null
union all
select distinct t.term, '' as setting, s.outcome as name, s.item
from staging.serves as s
cross join staging.shared_term as t
where s.outcome is not null
