-- The six sums behind the share wrong, at first and at last tries, by one thing at a time.
with tries as (
    select
        a.term, a.setting, a.week, a.section, a.topic, s.outcome, a.item, a.student, a.first_try,
        a.last_try, (a.verdict = 'wrong')::integer as wrong
    from staging.answer as a
    left join staging.serves as s on a.item = s.item and coalesce(a.item_from, '') = coalesce(s.item_from, '')
    where (a.first_try or a.last_try) and a.verdict in ('right', 'right-other-form', 'wrong')
),
by_student as (
    select
        t.term, t.setting, t.week, t.section, t.topic, t.outcome, t.item, t.student,
        grouping(t.week) as no_week, grouping(t.section) as no_section,
        grouping(t.topic) as no_topic, grouping(t.outcome) as no_outcome,
        grouping(t.item) as no_item,
        coalesce(sum(t.wrong) filter (where t.first_try), 0)::double as y_first,
        count(*) filter (where t.first_try)::double as n_first,
        coalesce(sum(t.wrong) filter (where t.last_try), 0)::double as y_last,
        count(*) filter (where t.last_try)::double as n_last,
        count(*) filter (where t.first_try <> t.last_try) > 0 as again
    from tries as t
    group by grouping sets (
        (t.term, t.setting, t.student),
        (t.term, t.setting, t.student, t.week),
        (t.term, t.setting, t.student, t.section),
        (t.term, t.setting, t.student, t.topic),
        (t.term, t.setting, t.student, t.topic, t.week),
        (t.term, t.setting, t.student, t.outcome),
        (t.term, t.setting, t.student, t.item)
    )
),
summed as (
    select
        b.term, b.setting, b.week, b.section, b.topic, b.outcome, b.item,
        case
            when b.no_topic = 0 and b.no_week = 0 then 'topic and week'
            when b.no_week = 0 then 'week'
            when b.no_section = 0 then 'section'
            when b.no_topic = 0 then 'topic'
            when b.no_outcome = 0 then 'outcome'
            when b.no_item = 0 then 'item'
            else 'term'
        end as grouped_by,
        count(*) filter (where b.again)::integer as again, -- students whose first and last tries are not the same
        unnest([
            {
                'grain': 'first', 'm': count(*) filter (where b.n_first > 0),
                'y': sum(b.y_first), 'n': sum(b.n_first), 'yy': sum(b.y_first * b.y_first),
                'yn': sum(b.y_first * b.n_first), 'nn': sum(b.n_first * b.n_first)
            },
            {
                'grain': 'last', 'm': count(*) filter (where b.n_last > 0),
                'y': sum(b.y_last), 'n': sum(b.n_last), 'yy': sum(b.y_last * b.y_last),
                'yn': sum(b.y_last * b.n_last), 'nn': sum(b.n_last * b.n_last)
            }
        ]) as sums
    from by_student as b
    where (b.no_week = 1 or b.week is not null) and (b.no_section = 1 or b.section is not null)
        and (b.no_topic = 1 or b.topic is not null) and (b.no_outcome = 1 or b.outcome is not null)
        and (b.no_item = 1 or b.item is not null)
    group by
        b.term, b.setting, b.week, b.section, b.topic, b.outcome, b.item, b.no_week, b.no_section,
        b.no_topic, b.no_outcome, b.no_item
)
select
    s.sums.grain, s.term, s.setting, s.week, s.section, s.topic, s.outcome, s.item, s.grouped_by, s.again,
    s.sums.m::double as m, s.sums.y, s.sums.n, s.sums.yy, s.sums.yn, s.sums.nn
from summed as s
where s.sums.m > 0
