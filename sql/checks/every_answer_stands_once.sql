-- Every stored answer stands in the table of answers exactly once.
select a.response, count(*) as times
from main.answers as a
group by a.response
having count(*) <> 1
union all
select r.response, 0 as times
from store.response as r
where not exists (select a.response from main.answers as a where a.response = r.response)
