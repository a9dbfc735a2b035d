-- What changed after a lesson beside what changed in topics that it did not treat.
select
    cast(null as varchar) as lesson, -- id of the lesson
    cast(null as varchar) as term, -- id of the term
    cast(null as varchar) as setting, -- practice, quiz or exam; no row mixes settings
    cast(null as varchar) as pattern, -- id of the error
    cast(null as integer) as students, -- students with answers before or after
    cast(null as double) as before, -- rate before the lesson, 0 to 1
    cast(null as double) as before_low, -- lower end of its 95 % interval
    cast(null as double) as before_high, -- upper end of its 95 % interval
    cast(null as double) as after, -- rate after the lesson, 0 to 1
    cast(null as double) as after_low, -- lower end of its 95 % interval
    cast(null as double) as after_high, -- upper end of its 95 % interval
    cast(null as double) as control_change, -- change of the error rate in topics that the lesson did not treat
    cast(null as double) as difference, -- difference in differences
    cast(null as double) as difference_low, -- lower end of its 95 % interval
    cast(null as double) as difference_high, -- upper end of its 95 % interval
    cast(null as double) as trend_before, -- change of the rate from the three weeks before to the last three before the lesson
    cast(null as double) as control_trend_before, -- the same in topics that the lesson did not treat
    cast(null as double) as trend_low, -- lower end of the 95 % interval of the one less the other
    cast(null as double) as trend_high, -- upper end
    cast(null as varchar) as difference_note -- why there is no difference, or what to know of it
where false
