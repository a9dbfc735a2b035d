-- Every rate lies inside its interval, and both inside 0 to 1.
select e.term, e.setting, e.pattern as subject, e.rate, e.rate_low, e.rate_high
from main.error_by_topic_week as e
where not (e.rate_low between 0 and e.rate + 1e-9 and e.rate_high between e.rate - 1e-9 and 1)
union all
select p.term, p.setting, p.pattern as subject, p.rate, p.rate_low, p.rate_high
from main.pattern_prevalence as p
where not (p.rate_low between 0 and p.rate + 1e-9 and p.rate_high between p.rate - 1e-9 and 1)
union all
select r.term, r.setting, r.pattern || ' in ' || r.section as subject, r.rate, r.rate_low, r.rate_high
from computed.section_rate as r
where not (r.rate_low between 0 and r.rate + 1e-9 and r.rate_high between r.rate - 1e-9 and 1)
union all
select r.term, r.setting, r.pattern || ' in ' || r.section || ', week ' || r.week as subject, r.rate, r.rate_low, r.rate_high
from computed.section_week_rate as r
where not (r.rate_low between 0 and r.rate + 1e-9 and r.rate_high between r.rate - 1e-9 and 1)
