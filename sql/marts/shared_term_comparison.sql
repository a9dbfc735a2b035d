-- Terms compared by what is printed of each, in whole points.
select
    d.setting, -- practice, quiz, exam or another setting
    d.term_before, -- id of the earlier term
    d.term_after, -- id of the later term
    d.kind, -- topic or pattern
    d.subject, -- id of the topic or error
    coalesce(t.title, j.says) as subject_title, -- its name or sentence
    coalesce(j.general, false) as general, -- whether it is a slip of the pen or in arithmetic
    round(d.difference, 2) as difference, -- after less before in whole points; below 0 means fewer errors
    floor(100 * d.difference_low) / 100 as difference_low, -- lower end of its 95 % interval, rounded down
    ceil(100 * d.difference_high) / 100 as difference_high, -- upper end, rounded up
    d.p_adjusted < 0.05 as settled -- whether no change is ruled out, among as many comparisons
from computed.shared_change as d
left join store.topic as t on d.kind = 'topic' and d.subject = t.topic
left join staging.joint_name as j on d.kind = 'pattern' and d.subject = j.pattern
