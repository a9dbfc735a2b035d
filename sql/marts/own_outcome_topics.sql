-- The topics that serve each outcome.
select
    t.outcome, -- id of the outcome
    t.topic, -- id of the topic
    t.title as topic_title -- name of the topic
from store.topic as t
where t.outcome is not null and t.outcome <> ''
