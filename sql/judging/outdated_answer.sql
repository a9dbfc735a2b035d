-- Every judged answer that nobody gave any more.
select e.examined
from store.examined as e
where not exists (select j.response from store.judgment as j where e.examined = j.examined)
