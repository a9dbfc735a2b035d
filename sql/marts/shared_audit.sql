-- What an outsider's linear program could make of the tables for everyone: nothing, where it passed.
select
    a.subject, -- wrong: right and wrong first tries; outcome: students by outcome; error: percents of errors
    a.term, -- id of the term, empty where all terms were attacked together
    t.title as term_title, -- name of the term
    a.setting, -- practice, quiz or exam; empty for outcomes
    a.counts, -- counts or percents that could be printed
    a.hidden, -- of these, hidden
    a.editions, -- earlier editions attacked together with this one
    a.passed, -- whether no hidden count could be narrowed down to fewer students than the limit
    a.reason -- why not, or what was pooled
from computed.shared_audit as a
left join store.term as t on a.term = t.term
