-- How common each error is, by term, setting, week assigned and topic. First tries only.
select
    r.term, -- id of the term
    r.setting, -- practice, quiz or exam; no row mixes settings
    r.week, -- teaching week in which the questions were assigned, from 1
    r.topic, -- id of the topic
    r.pattern, -- id of the error, or ids joined by ' / ' where no question parts them
    r.students, -- students with an answer that could show it
    r.opportunities, -- first tries at questions that can show the error
    r.rate * r.opportunities as expected_errors, -- rate times opportunities
    r.rate, -- share of the opportunities at which the error shows, 0 to 1
    r.rate_low, -- lower end of its 95 % interval
    r.rate_high, -- upper end of its 95 % interval
    'first' as grain, -- first tries; `error_by_try` has the last ones beside them
    r.rate_note, -- why there is no rate or interval, or what to know of it
    r.shown -- whether its figures are of enough students and tell of no fewer by subtraction
from computed.pattern_rate as r
