-- What each student adds to each cell of the tables for everyone in each week.
select
    c.cell, r.week, r.student,
    r.n, -- answers, or 1 for a student
    r.y -- of these wrong, unread and so on, or 1 where the bar is met
from staging.shared_row as r
inner join staging.shared_cell as c
    on r.subject = c.subject and r.term = c.term and r.setting = c.setting and r.topic = c.topic
