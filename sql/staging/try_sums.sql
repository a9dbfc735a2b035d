-- The six sums behind the share wrong, at first and at last tries, by one thing at a time.
with serves as (
    select
        i.item, coalesce(i.item_from, '') as item_from,
        coalesce(nullif(i.outcome, ''), t.outcome) as outcome
    from store.item as i
    left join store.topic as t on i.topic = t.topic
),
tries as (
    select
        a.term, a.setting, a.week, a.section, a.topic, s.outcome, a.item, a.student,
        (a.verdict = 'wrong')::integer as wrong,
        unnest(
            case
                when a.first_try and a.last_try then ['first', 'last']
                when a.first_try then ['first']
                else ['last']
            end
        ) as grain
    from staging.answer as a
    left join serves as s on a.item = s.item and coalesce(a.item_from, '') = s.item_from
    where (a.first_try or a.last_try) and a.verdict in ('right', 'right-other-form', 'wrong')
),
by_student as (
    select
        t.grain, t.term, t.setting, t.week, t.section, t.topic, t.outcome, t.item, t.student,
        grouping(t.week) as no_week, grouping(t.section) as no_section,
        grouping(t.topic) as no_topic, grouping(t.outcome) as no_outcome,
        grouping(t.item) as no_item, sum(t.wrong)::double as y, count(*)::double as n
    from tries as t
    group by grouping sets (
        (t.grain, t.term, t.setting, t.student),
        (t.grain, t.term, t.setting, t.student, t.week),
        (t.grain, t.term, t.setting, t.student, t.section),
        (t.grain, t.term, t.setting, t.student, t.topic),
        (t.grain, t.term, t.setting, t.student, t.topic, t.week),
        (t.grain, t.term, t.setting, t.student, t.outcome),
        (t.grain, t.term, t.setting, t.student, t.item)
    )
)
select
    b.grain, b.term, b.setting, b.week, b.section, b.topic, b.outcome, b.item,
    case
        when b.no_topic = 0 and b.no_week = 0 then 'topic and week'
        when b.no_week = 0 then 'week'
        when b.no_section = 0 then 'section'
        when b.no_topic = 0 then 'topic'
        when b.no_outcome = 0 then 'outcome'
        when b.no_item = 0 then 'item'
        else 'term'
    end as grouped_by,
    count(*)::double as m, sum(b.y) as y, sum(b.n) as n,
    sum(b.y * b.y) as yy, sum(b.y * b.n) as yn, sum(b.n * b.n) as nn
from by_student as b
where (b.no_week = 1 or b.week is not null) and (b.no_section = 1 or b.section is not null)
    and (b.no_topic = 1 or b.topic is not null) and (b.no_outcome = 1 or b.outcome is not null)
    and (b.no_item = 1 or b.item is not null)
group by all
