-- What the course folder did not say and what was taken instead.
select distinct
    d.sentence -- one plain sentence
from store.default_used as d
