-- How common each error in the order of the next lesson is by class section, small groups hidden. It ranks no one: students choose their hour.
select
    r.term, -- id of the term
    r.setting, -- practice, quiz or exam
    r.pattern, -- id of the error, or ids joined by ' / '
    p.rank, -- place of the error in the order of the next lesson, from 1
    if(r.section = '', 'no section named', r.section) as section, -- class section, that of most of a student's answers; none of few is named
    if(r.shown, r.students, null) as students, -- students with a chance to show it
    if(r.shown, r.opportunities, null) as opportunities, -- chances to show it
    if(r.shown, r.rate, null) as rate, -- how common, 0 to 1
    if(r.shown, r.rate_low, null) as rate_low, -- lower end of its 95 % interval
    if(r.shown, r.rate_high, null) as rate_high, -- upper end of its 95 % interval
    if(r.shown, r.standing, null) as standing, -- common or rare: its interval lies above or below the rate that is worth a lesson; else too few answers to say
    if(r.shown, r.beside, null) as beside, -- most or least: its interval lies above or below those of all other shown sections
    if(r.shown, r.rate_note, 'hidden: fewer than ' || c.minimum_students || ' students, or so that no such count can be worked out') as note -- why figures are missing, or what to know
from computed.section_rate as r
inner join main.own_pattern_prevalence as p
    on r.term = p.term and r.setting = p.setting and r.pattern = p.pattern and p.rank is not null
cross join store.course as c
