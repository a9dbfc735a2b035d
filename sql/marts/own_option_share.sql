-- Which options of choice questions students chose, options of few students hidden, and what would tell of them by subtraction.
select
    o.term, -- id of the term
    o.setting, -- practice, quiz or exam
    o.item, -- id of the question
    o.item_from, -- its version, empty for the first
    o.option, -- text of the option
    o.is_right, -- whether it is the right one
    if(o.shown, w.shows, null) as shows, -- id of the error that most of its answers are counted for; null for the right one, and where none is known
    if(o.shown, o.students, null) as students, -- students who chose any
    if(o.shown, o.chosen, null) as chosen, -- students who chose this one
    if(o.shown, o.share, null) as share, -- chosen over students, 0 to 1
    if(o.shown, o.share_low, null) as share_low, -- lower end of its 95 % interval
    if(o.shown, o.share_high, null) as share_high, -- upper end of its 95 % interval
    if(o.shown, o.share_note, 'hidden: fewer than ' || c.minimum_students || ' students, or so that no such count can be worked out') as note -- why figures are missing, or what to know
from computed.option_share as o
cross join store.course as c
left join (
    select
        t.item, coalesce(t.item_from, '') as item_from, trim(t.answer) as option,
        nullif(arg_max(t.pattern, (t.share, t.pattern)), 'unexplained') as shows
    from (
        select a.item, a.item_from, a.answer, s.pattern, sum(s.share) as share
        from staging.answer as a
        inner join store.share as s
            on a.examined = s.examined and a.setting = s.setting
            and coalesce(a.term, '') = s.term and coalesce(a.topic, '') = s.topic
        where a.place = 'choice' and a.verdict = 'wrong'
        group by all
    ) as t
    group by all
) as w
    on o.item = w.item and o.item_from = w.item_from and trim(o.option) = w.option
