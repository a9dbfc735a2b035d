-- Students who meet each outcome's bar, class sections pooled, as everyone may see them.
select
    s.term, -- id of the term
    s.topic as outcome, -- id of the outcome
    o.statement, -- what a student can do
    s.total::bigint as students, -- students with enough evidence
    s.part::bigint as meeting, -- students who meet the bar
    s.rest::bigint as below, -- students who do not
    s.aside::bigint as too_little, -- students with too little evidence, in no share
    s.rate as share, -- share who meet the bar in whole percents, 0 to 1
    s.rate_low as share_low, -- lower end of its 95 % interval, rounded down to a percent
    s.rate_high as share_high, -- upper end, rounded up
    s.as_of, -- earlier edition from which the figures are carried over
    o.bar, -- share of questions to get right, 0 to 1
    o.target, -- share of students who should meet the bar, 0 to 1
    o.fewest, -- fewest answered questions that count as evidence
    o.evidence, -- settings or quizzes that count; empty for all
    case
        when s.as_of is not null
            then 'as of the edition of ' || left(s.as_of, 10) || ': too few students changed since'
        when s.rate is null
            then 'hidden: fewer than ' || c.minimum_students || ' students could be worked out'
    end as note -- why figures are missing, or what to know
from computed.shared_count as s
cross join store.course as c
inner join store.outcome as o on s.topic = o.outcome
where s.subject = 'outcome'
