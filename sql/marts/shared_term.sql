-- The terms of which anything is shown, in order of time.
select distinct
    t.term, -- id of the term
    t.title, -- name
    t.position, -- order in time, from 1
    t.first_day, -- first teaching day
    t.last_day, -- last day, breaks included
    t.weeks -- teaching weeks, breaks not counted
from staging.shared_term as t
where t.term in (select s.term from computed.shared_figure as s)
