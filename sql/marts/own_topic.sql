-- The topics in the order of the course, and what each builds on.
select
    t.topic, -- id of the topic
    t.title as topic_title, -- name of the topic
    t.position as topic_position, -- order in the course, from 1
    coalesce(t.needs, []) as needs -- ids of topics that come before and are used here
from store.topic as t
