-- The outcomes in the order of the course, and the topics that serve each.
select
    o.outcome, -- id of the outcome
    o.position as place, -- order in the course, from 1
    t.topic, -- id of the topic; null where none is named
    t.title as topic_title -- name of the topic
from store.outcome as o
left join store.topic as t on o.outcome = t.outcome
