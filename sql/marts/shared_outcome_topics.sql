-- The outcomes in the order of the course, and the topics that serve each.
select
    o.outcome, -- id of the outcome
    o.place, -- order in the course, from 1
    o.topic, -- id of the topic; null where none is named
    o.topic_title -- name of the topic
from main.own_outcome_topics as o
