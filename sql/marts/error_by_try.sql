-- How common each error is by topic and week, at first tries, and at last tries where some tried again.
with both_tries as (
    select
        'first' as grain, r.term, r.setting, r.week, r.topic, r.pattern, r.students, r.opportunities, r.rate,
        r.rate_low, r.rate_high, r.rate_note, r.shown
    from computed.pattern_rate as r
    union all
    select
        'last' as grain, l.term, l.setting, l.week, l.topic, l.pattern, l.students, l.opportunities, l.rate,
        l.rate_low, l.rate_high, l.rate_note, l.students >= c.minimum_students and coalesce(w.shown, false) as shown
    from computed.last_pattern_rate as l
    cross join store.course as c
    left join main.wrong_by_try as w
        on w.grain = 'last' and w.grouped_by = 'topic and week' and l.term = w.term
        and l.setting = w.setting and l.topic = w.topic and l.week = w.week
)
select
    b.grain, -- first or last try of a student at a question
    b.term, -- id of the term
    b.setting, -- practice, quiz or exam; no row mixes settings
    b.week, -- teaching week in which the questions were assigned, from 1
    b.topic, -- id of the topic
    b.pattern, -- id of the error, or ids joined by ' / ' where no question parts them
    b.students, -- students with an answer that could show it
    b.opportunities, -- tries at questions that can show the error
    b.rate * b.opportunities as expected_errors, -- rate times opportunities
    b.rate, -- share of the opportunities at which the error shows, 0 to 1
    b.rate_low, -- lower end of its 95 % interval
    b.rate_high, -- upper end of its 95 % interval
    b.rate_note, -- why there is no rate or interval, or what to know of it
    b.shown -- whether its figures are of enough students and tell of no fewer by subtraction
from both_tries as b
