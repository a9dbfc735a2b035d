-- What changed after a lesson beside what changed elsewhere, small groups hidden.
select
    e.lesson, -- id of the lesson
    l.title, -- name of the lesson
    l.day, -- day on which it was given
    e.term, -- id of the term
    e.setting, -- practice, quiz or exam
    e.pattern, -- id of the error
    j.says, -- what the student did
    if(e.students >= c.minimum_students, e.students, null) as students, -- students with answers before or after
    if(e.students >= c.minimum_students, e.before, null) as before, -- rate before the lesson
    if(e.students >= c.minimum_students, e.before_low, null) as before_low, -- lower end of its 95 % interval
    if(e.students >= c.minimum_students, e.before_high, null) as before_high, -- upper end of its 95 % interval
    if(e.students >= c.minimum_students, e.after, null) as after, -- rate after the lesson
    if(e.students >= c.minimum_students, e.after_low, null) as after_low, -- lower end of its 95 % interval
    if(e.students >= c.minimum_students, e.after_high, null) as after_high, -- upper end of its 95 % interval
    if(e.students >= c.minimum_students, e.control_change, null) as control_change, -- change of the error rate in topics not treated
    if(e.students >= c.minimum_students, e.difference, null) as difference, -- difference in differences
    if(e.students >= c.minimum_students, e.difference_low, null) as difference_low, -- lower end of its 95 % interval
    if(e.students >= c.minimum_students, e.difference_high, null) as difference_high, -- upper end of its 95 % interval
    if(e.students >= c.minimum_students, e.trend_before, null) as trend_before, -- change of the rate from the three weeks before to the last three before the lesson
    if(e.students >= c.minimum_students, e.control_trend_before, null) as control_trend_before, -- the same in topics not treated
    if(e.students >= c.minimum_students, e.trend_low, null) as trend_low, -- lower end of the 95 % interval of the one less the other
    if(e.students >= c.minimum_students, e.trend_high, null) as trend_high, -- upper end
    if(e.students >= c.minimum_students, e.difference_note, 'hidden: fewer than ' || c.minimum_students || ' students') as note -- why figures are missing, or what to know
from main.lesson_effect as e
cross join store.course as c
left join store.lesson as l on e.lesson = l.lesson
left join staging.joint_name as j on e.pattern = j.pattern
