-- One percent of an error in an edition for everyone that was kept: what outsiders may know already.
select
    cast(null as varchar) as edition, -- name of its folder, which begins with its date
    cast(null as date) as last_answer, -- last day with an answer that it counted
    cast(null as varchar) as kind, -- term, topic, or pair for a change between two terms
    cast(null as varchar) as setting, -- practice, quiz or exam
    cast(null as varchar) as term, -- id of the term, the later one of a pair; empty for all terms
    cast(null as varchar) as term_before, -- id of the earlier term of a pair, else empty
    cast(null as varchar) as topic, -- id of the topic, empty for all topics
    cast(null as varchar) as pattern, -- id of the error, or ids joined by ' / '
    cast(null as varchar) as state, -- shown, low or high (a code), hidden, or unknown
    cast(null as double) as rate, -- share of the chances, or change of it, in whole percents, 0 to 1
    cast(null as double) as rate_low, -- lower end of its 95 % interval, rounded down to a percent
    cast(null as double) as rate_high, -- upper end, rounded up
    cast(null as double) as cap, -- share that the code names: not above it, or not below 1 less it
    cast(null as integer) as students_at_least, -- students behind it, rounded down to a multiple of the limit
    cast(null as varchar) as as_of -- earlier edition from which the figures are carried over
where false
