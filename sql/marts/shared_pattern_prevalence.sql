-- How common each error is over a term and by topic, as far as everyone may see.
select
    s.term, -- id of the term
    s.setting, -- practice, quiz, exam or another setting
    s.topic, -- id of the topic, empty for all topics
    t.title as topic_title, -- name of the topic
    t.position as topic_position, -- order in the course, from 1
    s.pattern, -- id of the error, or ids joined by ' / '
    j.skill, -- skill that it touches
    j.says, -- what was done
    coalesce(j.general, false) as general, -- whether it is a slip of the pen or in arithmetic
    s.answers::bigint as answers, -- first tries on the topic, perturbed
    s.hits::bigint as laid, -- answers laid to it, perturbed; missing where a code stands
    s.rate, -- share of these first tries that are laid to it, 0 to 1
    s.rate_low, -- lower end of its 95 % interval, rounded down to a percent
    s.rate_high, -- upper end, rounded up
    s.added, -- half width of the 95 % interval of what perturbing alone did to the share, 0 to 1
    s.code -- what stands in place of a share near 0 or 1
from computed.shared_figure as s
left join staging.joint_name as j on s.pattern = j.pattern
left join store.topic as t on s.topic = t.topic
where s.subject = 'error'
