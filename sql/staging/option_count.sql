-- How many students chose each option of each choice question, options never chosen too.
with latest as (
    select
        i.item, coalesce(i.item_from, '') as item_from, i.key,
        unnest(json_extract_string(i.options, '$[*]')) as option
    from store.item as i
    where i.place = 'choice' and json_valid(i.options)
),
chosen as (
    select
        a.term, a.setting, a.item, coalesce(a.item_from, '') as item_from, trim(a.answer) as option,
        count(*)::integer as students
    from staging.answer as a
    where a.place = 'choice' and a.first_try and a.verdict in ('right', 'right-other-form', 'wrong')
    group by all
),
whole as (
    select c.term, c.setting, c.item, c.item_from, sum(c.students)::integer as students
    from chosen as c
    group by all
)
select
    w.term, w.setting, w.item, w.item_from, l.option,
    coalesce(trim(l.option) = trim(l.key), false) as is_right,
    w.students, coalesce(c.students, 0) as chosen
from whole as w
inner join latest as l on w.item = l.item and w.item_from = l.item_from
left join chosen as c
    on w.term = c.term and w.setting = c.setting and w.item = c.item
    and w.item_from = c.item_from and trim(l.option) = c.option
