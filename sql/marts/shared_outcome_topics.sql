-- The topics that serve each outcome.
select
    o.outcome, -- id of the outcome
    o.topic, -- id of the topic
    o.topic_title -- name of the topic
from main.own_outcome_topics as o
