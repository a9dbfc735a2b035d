-- Nothing in a table for everyone counts fewer than the limit.
select s.subject, s.term, s.topic, s.pattern
from computed.shared_figure as s
cross join store.course as c
where least(s.hits, s.answers - s.hits) < c.minimum_students
