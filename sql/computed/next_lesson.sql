-- What the next lesson could treat, every factor a column.
select
    cast(null as varchar) as term, -- id of the term
    cast(null as varchar) as setting, -- practice, quiz or exam
    cast(null as integer) as rank, -- place by score, from 1
    cast(null as varchar) as pattern, -- id, or ids joined by ' / '
    cast(null as varchar[]) as members, -- the ids
    cast(null as integer) as students, -- students behind the rate
    cast(null as integer) as opportunities, -- recent first tries at questions that can show the error
    cast(null as double) as recent_rate, -- rate in the last two weeks, 0 to 1
    cast(null as double) as recent_low, -- lower end of its 95 % interval
    cast(null as double) as recent_high, -- upper end of its 95 % interval
    cast(null as double) as persistence, -- share of showings after which it comes back
    cast(null as double) as chances_ahead, -- opportunities per student still to come; null when unknown
    cast(null as double) as weight, -- declared weight, 1 unless the course says otherwise
    cast(null as double) as score, -- answers per student that it may still cost
    cast(null as double) as probability_top_three, -- chance to be among the three highest scores
    cast(null as varchar) as certainty, -- clear, likely or open
    cast(null as varchar[]) as topics_ahead, -- ids of topics to come that use it
    cast(null as varchar) as last_lesson, -- id of the last lesson on it
    cast(null as varchar) as note -- what to know of the row
where false
