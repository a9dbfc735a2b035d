-- How many questions of an outcome each student answered and got right, at first and at last tries, in the settings that count.
with grains as (
    select unnest(['first', 'last']) as grain
)
select
    g.grain, g.grain = coalesce(o.attempt, 'first') as declared, a.term, a.section, o.outcome, a.student,
    count(*)::integer as answered,
    count(*) filter (where a.verdict in ('right', 'right-other-form'))::integer as correct
from staging.answer as a
inner join staging.serves as s on a.item = s.item and coalesce(a.item_from, '') = coalesce(s.item_from, '')
inner join store.outcome as o on s.outcome = o.outcome
cross join grains as g
where a.verdict in ('right', 'right-other-form', 'wrong')
    and if(g.grain = 'last', a.last_try, a.first_try)
    and (
        coalesce(len(o.evidence), 0) = 0
        or list_contains(o.evidence, a.setting)
        or list_contains(o.evidence, a.quiz)
    )
group by g.grain, o.attempt, a.term, a.section, o.outcome, a.student
