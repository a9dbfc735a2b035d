-- How common each error is over a term, by setting. First tries only.
select
    t.term, -- id of the term
    t.setting, -- practice, quiz or exam; no row mixes settings
    t.pattern, -- id of the error, or ids joined by ' / ' where no question parts them
    j.skill, -- skill that it touches
    j.general, -- whether it is a slip of the pen or in arithmetic
    t.students, -- students with an answer that could show it
    t.opportunities, -- first tries at questions that can show the error
    t.rate * t.opportunities as expected_errors, -- rate times opportunities
    t.rate, -- share of the opportunities at which the error shows, 0 to 1
    t.rate_low, -- lower end of its 95 % interval
    t.rate_high, -- upper end of its 95 % interval
    'first' as grain, -- first tries; `error_by_try` has the last ones by topic and week
    t.rate_note, -- why there is no rate or interval, or what to know of it
    t.rate_without_chance, -- the rate if no other slip ever gave a predicted answer
    t.rate_with_chance, -- the rate if a quarter of other slips gave a predicted answer
    t.persistence, -- share of showings after which the next opportunity shows it again, 0 to 1
    t.persistence_low, -- lower end of its 95 % interval
    t.persistence_high, -- upper end of its 95 % interval
    t.persistence_beyond_chance, -- the same above what the class rate alone would give, at most 1
    t.persistence_note, -- why there is no persistence, or what to know of it
    t.shown -- whether its figures are of enough students and tell of no fewer by subtraction
from computed.pattern_total as t
left join staging.joint_name as j on t.pattern = j.pattern
