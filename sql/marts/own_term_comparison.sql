-- Terms compared on their common questions, small groups hidden.
with figures as (
    select
        m.setting, m.term_before, m.term_after, m.kind, m.subject, m.common_questions,
        m.students_before, m.students_after, m.rate_before, m.rate_after, m.difference,
        m.difference_low, m.difference_high, m.difference_note,
        m.smallest_visible, m.margin, m.within_margin, m.p, m.p_adjusted,
        coalesce(t.title, j.says) as subject_title, coalesce(j.general, false) as general,
        c.minimum_students,
        least(m.students_before, m.students_after) >= c.minimum_students as shown
    from main.term_comparison as m
    cross join store.course as c
    left join store.topic as t on m.kind = 'topic' and m.subject = t.topic
    left join staging.joint_name as j on m.kind = 'pattern' and m.subject = j.pattern
)
select
    f.setting, -- practice, quiz or exam
    f.term_before, -- id of the earlier term
    f.term_after, -- id of the later term
    f.kind, -- topic or pattern
    f.subject, -- id of the topic or error
    f.subject_title, -- its name or sentence
    f.general, -- whether it is a slip of the pen or in arithmetic
    f.common_questions, -- questions that both terms had
    if(f.shown, f.students_before, null) as students_before, -- students in the earlier term
    if(f.shown, f.students_after, null) as students_after, -- students in the later term
    if(f.shown, f.rate_before, null) as rate_before, -- share wrong, or showing the error, earlier term
    if(f.shown, f.rate_after, null) as rate_after, -- the same, later term
    if(f.shown, f.difference, null) as difference, -- after less before; below 0 means fewer errors
    if(f.shown, f.difference_low, null) as difference_low, -- lower end of its 95 % interval
    if(f.shown, f.difference_high, null) as difference_high, -- upper end of its 95 % interval
    if(f.shown, f.smallest_visible, null) as smallest_visible, -- smallest difference that these data would have shown with 80 % chance
    f.margin, -- difference that counts as small, stated before looking
    if(f.shown, f.within_margin, null) as within_margin, -- whether the 90 % interval lies inside the margin
    if(f.shown, f.p, null) as p, -- two-sided p-value of no difference
    if(f.shown, f.p_adjusted, null) as p_adjusted, -- the same after Benjamini and Hochberg over the table
    if(f.shown, f.difference_note, 'hidden: fewer than ' || f.minimum_students || ' students') as note -- why figures are missing, or what to know
from figures as f
