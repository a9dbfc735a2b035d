-- What changed after a lesson beside what changed in topics that it did not treat.
select
    l.lesson, -- id of the lesson
    l.term, -- id of the term
    l.setting, -- practice, quiz or exam; no row mixes settings
    l.pattern, -- id of the error
    l.students, -- students with answers before or after
    l.before, -- rate before the lesson, 0 to 1
    l.before_low, -- lower end of its 95 % interval
    l.before_high, -- upper end of its 95 % interval
    l.after, -- rate after the lesson, 0 to 1
    l.after_low, -- lower end of its 95 % interval
    l.after_high, -- upper end of its 95 % interval
    l.control_change, -- change of the error rate in topics that the lesson did not treat
    l.difference, -- difference in differences
    l.difference_low, -- lower end of its 95 % interval
    l.difference_high, -- upper end of its 95 % interval
    l.trend_before, -- change of the rate from the three weeks before to the last three before the lesson
    l.control_trend_before, -- the same in topics that the lesson did not treat
    l.trend_low, -- lower end of the 95 % interval of the one less the other
    l.trend_high, -- upper end
    l.difference_note -- why there is no difference, or what to know of it
from computed.lesson_change as l
