-- What the loads had to say besides their rows.
select distinct
    n.file, -- export that was read
    n.sentence -- one plain sentence
from store.note as n
