-- Which topic, week and outcome each version of a question serves.
select
    i.item, i.item_from, i.topic, i.week, coalesce(nullif(i.outcome, ''), t.outcome) as outcome
from store.item as i
left join store.topic as t on i.topic = t.topic
