-- Which options of choice questions students chose, options of few students hidden, and what would tell of them by subtraction.
select
    o.term, -- id of the term
    o.setting, -- practice, quiz or exam
    o.item, -- id of the question
    o.item_from, -- its version, empty for the first
    o.option, -- text of the option
    o.is_right, -- whether it is the right one
    if(o.shown, o.students, null) as students, -- students who chose any
    if(o.shown, o.chosen, null) as chosen, -- students who chose this one
    if(o.shown, o.share, null) as share, -- chosen over students, 0 to 1
    if(o.shown, o.share_low, null) as share_low, -- lower end of its 95 % interval
    if(o.shown, o.share_high, null) as share_high, -- upper end of its 95 % interval
    if(o.shown, o.share_note, 'hidden: fewer than ' || c.minimum_students || ' students, or so that no such count can be worked out') as note -- why figures are missing, or what to know
from computed.option_share as o
cross join store.course as c
