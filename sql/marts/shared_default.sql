-- What the course folder did not say and what was taken instead.
select
    d.sentence -- one plain sentence
from main.own_default as d
