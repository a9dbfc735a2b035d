-- Answers that the page on trust lists apart, by list and by name within the list; rare sorts are in no list.
with answered as (
    select
        a.term, a.setting, a.place, a.item, a.student, a.count, a.verdict,
        a.reason, coalesce(b.bracketed, 'fraction') as bracketed,
        if(a.place = 'task' and a.verdict = 'no-key', 'unread', a.place) as kind,
        a.covered
    from staging.told_answer as a
    left join staging.bracketed as b on a.brackets = b.brackets
)
select 'unlisted' as list, w.term, '' as part, '' as detail, w.item as name, w.student, sum(w.count)::bigint as count
from answered as w
where w.place = 'unlisted'
group by all
union all
-- Reasons that quote an answer are cut at the quotation, which an apostrophe in a word does not begin.
select
    'unreadable' as list, w.term, '' as part, '' as detail,
    trim(regexp_replace(regexp_replace(regexp_replace(coalesce(w.reason, 'no reason kept'), '^“[*·×⋅]”', 'a multiplication sign'), '^“[^”]*”', 'a sign or word'), '([:("‘“`«]|(^|[^\pL])[''’]).*$', '')) as name,
    w.student, sum(w.count)::bigint as count
from answered as w
where w.verdict = 'unreadable'
group by all
union all
select 'meant' as list, w.term, '' as part, w.bracketed as detail, w.item as name, w.student, sum(w.count)::bigint as count
from answered as w
where w.verdict = 'right-if-meant'
group by all
union all
-- Answers that are judged add up, and so do those that are not.
select 'coverage' as list, w.term, if(w.place in ('skip', 'unlisted'), 'counted', 'judged') as part, w.covered::varchar as detail, w.kind as name, w.student, sum(w.count)::bigint as count
from answered as w
group by all
union all
-- An answer that enough students typed stands for itself, others for their question, all others for what would cure them.
select
    'disagreements' as list, u.term,
    u.setting || ': ' || if(u.ours_wrong, 'we say wrong, the score says right', 'we say right, the score says wrong') as part,
    u.cure as detail,
    case
        when u.named then concat_ws(chr(31), u.item, coalesce(u.problem, ''), u.answer)
        when count(distinct if(u.named, null, u.student)) over (partition by u.term, u.setting, u.ours_wrong, u.cure, u.item) >= u.minimum_students
            then concat_ws(chr(31), u.item, '', '')
        else ''
    end as name,
    u.student, 1::bigint as count
from (
    select
        f.response, f.term, f.setting, f.item, f.problem, f.student, f.ours_wrong, f.answer, f.cure,
        c.minimum_students,
        count(distinct f.student) over (partition by f.term, f.setting, f.cure, f.item, f.problem, f.answer) >= c.minimum_students as named
    from staging.unfair as f
    cross join store.course as c
) as u
where u.response in (select t.response from staging.told_answer as t)
