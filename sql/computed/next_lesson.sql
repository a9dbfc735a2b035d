-- What the next lesson could treat, every factor a column.
select
    cast(null as varchar) as term, -- id of the term
    cast(null as varchar) as setting, -- practice, quiz or exam
    cast(null as integer) as rank, -- place by score, from 1
    cast(null as varchar) as pattern, -- id, or ids joined by ' / '
    cast(null as varchar[]) as members, -- the ids
    cast(null as integer) as students, -- students behind the rate
    cast(null as integer) as opportunities, -- recent first tries at questions that show the error
    cast(null as double) as recent_rate, -- rate in the last two weeks, 0 to 1; of the term where these tell nothing
    cast(null as double) as recent_low, -- lower end of its 95 % interval
    cast(null as double) as recent_high, -- upper end of its 95 % interval
    cast(null as integer) as recent_from, -- first of the last two weeks with answers of this setting
    cast(null as integer) as recent_to, -- the last of them
    cast(null as boolean) as lately, -- whether the rate is of these weeks
    cast(null as double) as persistence, -- share of showings after which it comes back; null when too few students
    cast(null as double) as showed, -- answers laid to it after which the student had another chance
    cast(null as double) as persistence_counted, -- persistence as the order counts it: drawn toward that of all errors
    cast(null as integer) as class_students, -- students with an answer in these weeks
    cast(null as double) as usual_chances, -- chances per student in the whole term at questions that show the error
    cast(null as double) as chances_ahead, -- opportunities per student still to come; null when unknown
    cast(null as double) as weight, -- declared weight, 1 unless the course says otherwise
    cast(null as double) as answers_ahead, -- answers in the class that it may still cost
    cast(null as double) as score, -- the same by the declared weight: the order
    cast(null as double) as probability_top_three, -- chance to be among the three highest scores
    cast(null as varchar) as certainty, -- clear, likely or open
    cast(null as boolean) as stands_out, -- whether its interval lies above the rate that is worth a lesson
    cast(null as varchar[]) as topics_ahead, -- ids of topics to come that use it
    cast(null as varchar) as note, -- what to know of the row
    cast(null as integer) as rank_before -- place without the latest week of this setting; null where it had none or rested on few students
where false
