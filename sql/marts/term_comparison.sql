-- One term against an earlier one, on the questions that both had, with fixed weights.
select
    c.term_before, -- id of the earlier term
    c.term_after, -- id of the later term
    c.setting, -- practice, quiz or exam; no row mixes settings
    c.kind, -- topic or pattern
    c.subject, -- id of the topic or error
    c.common_questions, -- questions that both terms had
    c.students_before, -- students in the earlier term
    c.students_after, -- students in the later term
    c.rate_before, -- share wrong, or showing the error, on common questions, earlier term
    c.rate_after, -- the same, later term
    c.difference, -- after less before; below 0 means fewer errors
    c.difference_low, -- lower end of its 95 % interval
    c.difference_high, -- upper end of its 95 % interval
    c.difference_note, -- why there is no difference, or what to know of it
    c.smallest_visible, -- smallest difference that these data would have shown with 80 % chance
    c.margin, -- difference that counts as small, stated before looking
    c.within_margin, -- whether the 90 % interval lies inside the margin
    c.p, -- two-sided p-value of no difference
    c.p_adjusted -- the same after Benjamini and Hochberg over the table
from computed.comparison as c
