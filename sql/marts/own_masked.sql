-- On how many of the questions asked each error can be seen, and with which it is confused.
with asked as (
    select distinct a.item, a.question from staging.answer as a where a.covered
),
visible as (
    select s.pattern, list_sort(list(distinct a.item)) as items
    from staging.predicted_value as s
    inner join asked as a on s.question = a.question
    group by s.pattern
),
told as (
    select t.members, unnest(t.members) as id from computed.pattern_total as t where len(t.members) > 1
),
joint as (
    select o.id, list_sort(list_distinct(flatten(list(o.members)))) as ids from told as o group by o.id
)
select
    p.pattern, -- id of the error
    p.skill, -- skill that it touches
    p.sentence as says, -- what the student did
    coalesce(len(v.items), 0)::integer as questions_that_show, -- questions on which it gives a wrong answer, with some numbers at least
    (a.questions - coalesce(len(v.items), 0))::integer as questions_that_hide, -- questions on which it cannot be seen, whatever the numbers
    coalesce(v.items, []) as shown_by, -- ids of the questions that can show it
    list_filter(coalesce(j.ids, []), lambda x: x <> p.pattern) as joint_with -- ids never told apart from it by some topic's questions
from store.pattern as p
cross join (select count(distinct q.item)::integer as questions from asked as q) as a
left join visible as v on p.pattern = v.pattern
left join joint as j on p.pattern = j.id
