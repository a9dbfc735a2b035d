-- Wrong answers that no known error fits well, most frequent first.
select
    a.term, -- id of the term
    a.topic, -- id of the topic
    a.item, -- id of the question
    a.problem, -- the question as these students saw it
    a.value_key, -- canonical key of the value
    any_value(a.read_as order by a.read_as) as read_as, -- value used, in plain notation
    sum(a.count)::integer as answers, -- answers with this value
    count(distinct a.student)::integer as students, -- students who gave it
    avg(t.share) as share_unexplained -- fraction of them that no known error fits, 0 to 1
from staging.answer as a
inner join main.tags as t on a.response = t.response
where t.pattern = 'unexplained' and t.share >= 0.5
group by a.term, a.topic, a.item, a.problem, a.value_key
