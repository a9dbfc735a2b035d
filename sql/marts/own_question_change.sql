-- Terms compared question by question, small groups hidden.
with figures as (
    select
        q.setting, q.term_before, q.term_after, q.topic, p.title as topic_title, q.item, q.item_from,
        i.problem, q.students_before, q.students_after, q.rate_before, q.rate_after, q.difference,
        q.difference_low, q.difference_high, q.difference_note, q.p, q.p_adjusted,
        c.minimum_students,
        least(q.students_before, q.students_after) >= c.minimum_students as shown
    from computed.question_change as q
    cross join store.course as c
    left join store.topic as p on q.topic = p.topic
    left join store.item as i on q.item = i.item and q.item_from = coalesce(i.item_from, '')
)
select
    f.setting, -- practice, quiz or exam
    f.term_before, -- id of the earlier term
    f.term_after, -- id of the later term
    f.topic, -- id of the topic
    f.topic_title, -- its name
    f.item, -- id of the question
    f.item_from, -- its version, empty for the first
    f.problem, -- the question in typed notation
    if(f.shown, f.students_before, null) as students_before, -- students in the earlier term
    if(f.shown, f.students_after, null) as students_after, -- students in the later term
    if(f.shown, f.rate_before, null) as rate_before, -- share wrong, earlier term
    if(f.shown, f.rate_after, null) as rate_after, -- the same, later term
    if(f.shown, f.difference, null) as difference, -- after less before; below 0 means fewer errors
    if(f.shown, f.difference_low, null) as difference_low, -- lower end of its 95 % interval
    if(f.shown, f.difference_high, null) as difference_high, -- upper end of its 95 % interval
    if(f.shown, f.p, null) as p, -- two-sided p-value of no difference
    if(f.shown, f.p_adjusted, null) as p_adjusted, -- the same after Benjamini and Hochberg over the table
    if(f.shown, f.difference_note, 'hidden: fewer than ' || f.minimum_students || ' students') as note -- why figures are missing, or what to know
from figures as f
