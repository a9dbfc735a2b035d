-- A table for everyone that did not pass its audit prints nothing.
select a.subject, a.term, a.setting
from computed.shared_audit as a
inner join computed.shared_count as s
    on a.subject = s.subject and a.term = s.term and a.setting = s.setting
where not a.passed and coalesce(s.total, s.part, s.rest, s.aside, s.ceiling) is not null
union all
select a.subject, s.term, a.setting
from computed.shared_audit as a
inner join computed.shared_percent as s on a.setting = s.setting
where a.subject = 'error' and not a.passed and coalesce(s.rate, s.cap) is not null
