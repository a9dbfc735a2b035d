-- The counts with which pages open, by term and setting.
with counted as (
    select
        a.term, a.setting,
        sum(a.count)::bigint as answers,
        count(*) filter (where a.first_try)::integer as first_attempts,
        count(distinct a.student)::integer as students,
        count(distinct a.item)::integer as questions_asked,
        count(distinct a.item) filter (where a.covered)::integer as questions_covered,
        count(distinct a.item) filter (where a.verdict is not null)::integer as questions_judged,
        count(distinct a.item) filter (where a.place in ('skip', 'unlisted'))::integer as questions_skipped,
        coalesce(sum(a.count) filter (where a.verdict in ('right', 'right-other-form')), 0)::bigint as right_answers,
        coalesce(sum(a.count) filter (where a.verdict = 'wrong'), 0)::bigint as wrong,
        count(*) filter (where a.first_try and a.verdict in ('right', 'right-other-form'))::integer as first_right,
        count(*) filter (where a.first_try and a.verdict = 'wrong')::integer as first_wrong,
        coalesce(sum(a.count) filter (where a.verdict = 'right-if-meant'), 0)::bigint as right_if_meant,
        coalesce(sum(a.count) filter (where a.verdict = 'unreadable'), 0)::bigint as unreadable,
        coalesce(sum(a.count) filter (where a.verdict = 'blank'), 0)::bigint as blank,
        coalesce(sum(a.count) filter (where a.verdict is not null), 0)::bigint as examined
    from staging.answer as a
    where a.term is not null
    group by a.term, a.setting
),
laid as (
    select
        a.term, a.setting,
        sum(a.count * (1 - s.share)) filter (where s.pattern = 'unexplained') as tagged,
        sum(a.count * s.share) filter (where e.general) as slips,
        sum(a.count) filter (where s.pattern = 'unexplained' and a.covered) as tellable
    from staging.answer as a
    inner join store.share as s
        on a.examined = s.examined and a.setting = s.setting
        and a.term = s.term and coalesce(a.topic, '') = s.topic
    left join store.pattern as e on s.pattern = e.pattern
    where a.verdict = 'wrong'
    group by a.term, a.setting
),
apart as (
    -- Where few students stand behind all lists of such answers, their number would tell what the lists hide.
    select
        a.term, count(distinct a.student) filter (where a.verdict = 'unreadable') as unread_by,
        count(distinct a.student) filter (where a.verdict = 'blank') as blank_by,
        count(distinct a.student) filter (where a.verdict = 'right-if-meant') as meant_by
    from staging.answer as a
    inner join counted as n on a.term = n.term and a.setting = n.setting
    cross join store.course as c
    where n.students >= c.minimum_students
    group by a.term
),
figures as (
    select
        n.term, n.setting, n.answers, n.first_attempts, n.students, n.questions_asked,
        n.questions_covered, greatest(n.questions_judged - n.questions_covered, 0) as questions_judged, n.questions_skipped, n.right_answers, n.wrong, n.first_right, n.first_wrong,
        n.right_if_meant, n.unreadable, n.blank, n.examined, l.tagged, coalesce(l.slips, 0) as slips, l.tellable,
        n.students >= c.minimum_students as shown, c.minimum_students,
        shown and p.unread_by not between 1 and c.minimum_students - 1 as unread_shown,
        shown and p.meant_by not between 1 and c.minimum_students - 1 as meant_shown,
        shown and p.blank_by not between 1 and c.minimum_students - 1 as blank_shown,
        -- Beside what is shown, the whole would tell of the rest.
        unread_shown and meant_shown and blank_shown as whole_shown
    from counted as n
    cross join store.course as c
    left join apart as p on n.term = p.term
    left join laid as l on n.term = l.term and n.setting = l.setting
)
select
    f.term, -- id of the term
    t.title as term_title, -- name of the term
    f.setting, -- practice, quiz or exam
    if(f.whole_shown, f.answers, null) as answers, -- stored answers; none where it would tell of a hidden count beside it
    if(f.whole_shown, f.first_attempts, null) as first_attempts, -- first tries; likewise
    if(f.shown, f.students, null) as students, -- distinct students
    f.questions_asked, -- questions with any answer
    f.questions_covered, -- of these, questions whose errors can be told
    f.questions_judged, -- of these, questions judged right or wrong only
    f.questions_skipped, -- of these, questions that were counted only
    if(f.shown, f.right_answers, null) as "right", -- answers judged right in any form
    if(f.shown, f.wrong, null) as wrong, -- answers judged wrong
    if(f.shown, f.first_right, null) as first_right, -- first tries judged right in any form
    if(f.shown, f.first_wrong, null) as first_wrong, -- first tries judged wrong
    if(f.shown, f.tellable, null) as tellable, -- wrong answers to questions whose errors can be told
    if(f.shown, f.slips, null) as slips, -- expected wrong answers laid to a slip of the pen or in arithmetic; part of tagged
    if(f.shown, f.tagged, null) as tagged, -- expected wrong answers laid to a known error
    if(f.shown, f.tagged / nullif(f.tellable, 0), null) as tagged_share, -- fraction of wrong answers to tellable questions laid to a known error
    if(f.shown, 1 - f.tagged / nullif(f.tellable, 0), null) as unexplained_share, -- the rest of them
    if(f.meant_shown, f.right_if_meant, null) as right_if_meant, -- answers that are right only if brackets were meant
    if(f.unread_shown, f.unreadable, null) as unreadable, -- answers that we could not read
    if(f.unread_shown, f.unreadable / nullif(f.examined, 0), null) as unreadable_share, -- fraction of the examined answers
    if(f.blank_shown, f.blank, null) as blank, -- blank or do not know
    if(f.shown, null, 'hidden: fewer than ' || f.minimum_students || ' students') as note -- why figures are missing
from figures as f
left join store.term as t on f.term = t.term
