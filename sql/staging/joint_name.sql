-- The words for one reported error, joined where no question parts several.
with reported as (
    select t.pattern, t.members from computed.pattern_total as t
    union
    select r.pattern, r.members from computed.pattern_rate as r
    union
    select c.subject as pattern, c.members from computed.comparison as c where c.kind = 'pattern'
    union
    select l.pattern, l.members from computed.lesson_change as l
    union
    select n.pattern, n.members from computed.next_lesson as n
    union
    select s.pattern, string_split(s.pattern, ' / ') as members from computed.shared_figure as s where s.subject = 'error'
),
member as (
    select r.pattern, unnest(r.members) as id from reported as r
)
select
    m.pattern,
    array_to_string(list_sort(list(distinct p.skill)), ' / ') as skill,
    string_agg(coalesce(p.sentence, m.id), ' Or: ' order by p.position) as says,
    coalesce(bool_and(p.general), false) as general,
    min(p.position) as position,
    count(*)::integer as members
from member as m
left join store.pattern as p on m.id = p.pattern
group by m.pattern
