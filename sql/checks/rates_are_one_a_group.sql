-- Each term, setting, week, topic and error has one rate.
select e.term, e.setting, e.week, e.topic, e.pattern, count(*) as times
from main.error_by_topic_week as e
group by all
having count(*) > 1
