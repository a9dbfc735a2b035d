-- What each answer adds to each row of the tables for everyone.
select
    c.cell, r.week, r.mark, r.response,
    r.n, -- 1; of a student's answers behind an outcome, 1 for one of them
    r.y -- whether it is wrong, or the bar is met
from staging.shared_row as r
inner join staging.shared_cell as c
    on r.subject = c.subject and r.term = c.term and r.setting = c.setting and r.topic = c.topic
