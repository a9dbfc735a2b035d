-- Which options of choice questions students chose, options of few students hidden.
select
    o.term, -- id of the term
    o.setting, -- practice, quiz or exam
    o.item, -- id of the question
    o.item_from, -- its version, empty for the first
    o.option, -- text of the option
    o.is_right, -- whether it is the right one
    if(o.chosen >= c.minimum_students, o.students, null) as students, -- students who chose any
    if(o.chosen >= c.minimum_students, o.chosen, null) as chosen, -- students who chose this one
    if(o.chosen >= c.minimum_students, o.share, null) as share, -- chosen over students, 0 to 1
    if(o.chosen >= c.minimum_students, o.share_low, null) as share_low, -- lower end of its 95 % interval
    if(o.chosen >= c.minimum_students, o.share_high, null) as share_high, -- upper end of its 95 % interval
    if(o.chosen >= c.minimum_students, o.share_note, 'hidden: fewer than ' || c.minimum_students || ' students') as note -- why figures are missing, or what to know
from computed.option_share as o
cross join store.course as c
