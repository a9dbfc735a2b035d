-- How many questions of each kind the course lists, answered or not.
select
    i.place, -- task, judge, choice or skip
    count(distinct i.item)::integer as questions -- questions of the course's own list
from store.item as i
group by i.place
