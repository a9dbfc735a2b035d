-- How many questions of each kind the course lists, answered or not.
select
    i.place, -- task, judge, choice or skip
    count(distinct i.item)::integer as questions -- questions of the course's own list
from store.item as i
where coalesce(i.listed, true) -- one student's answer may be all that keeps another in force
group by i.place
