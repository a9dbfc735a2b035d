-- The words for one reported error, joined where no question parts several.
with reported as (
    select t.pattern from computed.pattern_total as t
    union
    select r.pattern from computed.pattern_rate as r
    union
    select c.subject as pattern from main.term_comparison as c where c.kind = 'pattern'
    union
    select l.pattern from main.lesson_effect as l
    union
    select n.pattern from computed.next_lesson as n
    union
    select s.pattern from computed.shared_figure as s where s.subject = 'error'
),
member as (
    select r.pattern, unnest(string_split(r.pattern, ' / ')) as id from reported as r
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
