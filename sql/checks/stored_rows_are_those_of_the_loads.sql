-- The loads together stored as many answers as there are.
select l.stored, r.answers
from (select coalesce(sum(f.stored), 0) as stored from store.source_file as f) as l
cross join (select count(*) as answers from store.response as s) as r
where l.stored <> r.answers
