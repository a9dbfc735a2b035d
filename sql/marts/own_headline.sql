-- The counts with which pages open, by term and setting.
with asked as (
    select
        a.term, a.setting,
        count(distinct a.item)::integer as questions_asked,
        count(distinct a.item) filter (where a.covered)::integer as questions_covered,
        count(distinct a.item) filter (where a.verdict is not null)::integer as questions_judged,
        count(distinct a.item) filter (where a.place in ('skip', 'unlisted'))::integer as questions_skipped
    from staging.answer as a
    where a.term is not null
    group by a.term, a.setting
),
told as (
    select
        a.term, a.setting,
        sum(a.count)::bigint as answers, count(distinct a.student)::integer as students,
        count(*) filter (where a.first_try)::integer as first_attempts,
        coalesce(sum(a.count) filter (where a.verdict in ('right', 'right-other-form')), 0)::bigint as right_answers,
        coalesce(sum(a.count) filter (where a.verdict = 'wrong'), 0)::bigint as wrong,
        count(*) filter (where a.first_try and a.verdict in ('right', 'right-other-form'))::integer as first_right,
        count(*) filter (where a.first_try and a.verdict = 'wrong')::integer as first_wrong,
        coalesce(sum(a.count) filter (where a.verdict = 'right-if-meant'), 0)::bigint as right_if_meant,
        coalesce(sum(a.count) filter (where a.verdict = 'unreadable'), 0)::bigint as unreadable,
        coalesce(sum(a.count) filter (where a.verdict = 'blank'), 0)::bigint as blank,
        coalesce(sum(a.count) filter (where a.verdict is not null), 0)::bigint as examined
    from staging.told_answer as a
    group by a.term, a.setting
),
laid as (
    select
        a.term, a.setting,
        sum(a.count * (1 - s.share)) filter (where s.pattern = 'unexplained') as tagged,
        sum(a.count * s.share) filter (where e.general) as slips,
        sum(a.count) filter (where s.pattern = 'unexplained' and a.covered) as tellable
    from staging.told_answer as a
    inner join store.share as s
        on a.examined = s.examined and a.setting = s.setting
        and a.term = s.term and coalesce(a.topic, '') = s.topic
    left join store.pattern as e on s.pattern = e.pattern
    where a.verdict = 'wrong'
    group by a.term, a.setting
),
rare as (
    -- Where few were asked what cannot tell errors, all that are wrong less those that can would tell of them.
    select
        r.term, r.setting, list(r.sort) as sorts,
        list_has_any(list(r.sort), ['judged', 'errors cannot be told']) as untold
    from staging.rare_sort as r
    group by all
)
select
    q.term, -- id of the term
    t.title as term_title, -- name of the term
    q.setting, -- practice, quiz or exam
    n.answers, -- stored answers, but those of a sort that fewer students than the limit gave
    n.first_attempts, -- first tries; likewise
    n.students, -- distinct students who gave these
    if(n.term is null, null, q.questions_asked) as questions_asked, -- questions with any answer
    if(n.term is null, null, q.questions_covered) as questions_covered, -- of these, questions whose errors can be told
    if(n.term is null, null, greatest(q.questions_judged - q.questions_covered, 0)) as questions_judged, -- of these, questions judged right or wrong only
    if(n.term is null, null, q.questions_skipped) as questions_skipped, -- of these, questions that were counted only
    if(list_contains(r.sorts, 'judged'), null, n.right_answers) as "right", -- answers judged right in any form
    if(list_contains(r.sorts, 'judged'), null, n.wrong) as wrong, -- answers judged wrong
    if(list_contains(r.sorts, 'judged'), null, n.first_right) as first_right, -- first tries judged right in any form
    if(list_contains(r.sorts, 'judged'), null, n.first_wrong) as first_wrong, -- first tries judged wrong
    l.tellable, -- wrong answers to questions whose errors can be told
    if(n.term is null or r.untold, null, coalesce(l.slips, 0)) as slips, -- expected wrong answers laid to a slip of the pen or in arithmetic; part of tagged
    l.tagged, -- expected wrong answers laid to a known error
    l.tagged / nullif(l.tellable, 0) as tagged_share, -- fraction of wrong answers to tellable questions laid to a known error
    1 - l.tagged / nullif(l.tellable, 0) as unexplained_share, -- the rest of them
    if(list_contains(r.sorts, 'right-if-meant'), null, n.right_if_meant) as right_if_meant, -- answers that are right only if brackets were meant
    if(list_contains(r.sorts, 'unreadable'), null, n.unreadable) as unreadable, -- answers that we could not read
    if(list_contains(r.sorts, 'unreadable'), null, n.unreadable / nullif(n.examined, 0)) as unreadable_share, -- fraction of the examined answers
    if(list_contains(r.sorts, 'blank'), null, n.blank) as blank, -- blank or do not know
    if(n.term is null, 'hidden: fewer than ' || c.minimum_students || ' students', null) as note -- why figures are missing
from asked as q
cross join store.course as c
left join told as n on q.term = n.term and q.setting = n.setting
left join rare as r on q.term = r.term and q.setting = r.setting
left join laid as l on n.term = l.term and n.setting = l.setting and r.untold is not true
left join store.term as t on q.term = t.term
