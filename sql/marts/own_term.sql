-- The terms in order of time.
select
    t.term, -- id of the term
    t.title, -- name
    t.position, -- order in time, from 1
    t.first_day, -- first teaching day
    t.last_day, -- last day, breaks included
    t.weeks, -- teaching weeks, breaks not counted
    if(a.students < c.minimum_students, null, if(a.term is null, 0, a.answers)) as answers, -- stored answers, but those of a sort or in a setting of fewer students than the limit
    if(a.students < c.minimum_students, null, a.students) as students, -- distinct students
    nullif(a.sections, 0) as sections -- class sections; null where none is named
from store.term as t
cross join store.course as c
left join (
    select
        s.term, sum(s.count)::bigint as answers, count(distinct s.student)::integer as students,
        count(distinct s.section)::integer as sections
    from staging.told_answer as s
    group by s.term
) as a on t.term = a.term
