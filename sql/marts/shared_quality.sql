-- How far the answers can be relied on, as everyone may see it.
select
    s.term, -- id of the term
    s.setting, -- practice, quiz, exam or another setting
    s.topic as measure, -- what the share is of
    s.rate, -- share of answers, 0 to 1
    s.rate_low, -- lower end of its 95 % interval, rounded down to a percent
    s.rate_high, -- upper end, rounded up
    s.added, -- half width of the 95 % interval of what perturbing alone did to the share, 0 to 1
    s.code -- what stands in place of a share near 0 or 1
from computed.shared_figure as s
where s.subject = 'reading'
