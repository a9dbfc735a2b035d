-- One row of counts of an edition for everyone that was kept: what outsiders may know already.
select
    cast(null as varchar) as edition, -- name of its folder, which begins with its date
    cast(null as varchar) as term, -- id of the term
    cast(null as varchar) as setting, -- practice, quiz or exam; empty for outcomes
    cast(null as varchar) as topic, -- id of the topic or outcome, empty for all topics
    cast(null as integer) as week_from, -- first teaching week, 0 for all weeks
    cast(null as integer) as week_to, -- last teaching week, 0 for all weeks
    cast(null as varchar) as part, -- answers, wrong or right; students, meeting, below or too_little
    cast(null as double) as value, -- the count as printed, null where it was hidden
    cast(null as double) as ceiling, -- no more than this, as its code said; null without a code
    cast(null as varchar) as as_of -- earlier edition from which the count was carried over
where false
