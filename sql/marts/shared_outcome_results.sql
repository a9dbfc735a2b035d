-- Students who meet each outcome's bar, class sections pooled, once a semester is closed, as everyone may see them.
with term_shown as (
    select distinct s.term
    from computed.shared_figure as s
    where s.subject in ('wrong', 'outcome')
)
select
    p.term, -- id of the term
    o.outcome, -- id of the outcome
    o.statement, -- what a student can do
    s.answers::bigint as students, -- students with enough evidence, perturbed
    s.hits::bigint as meeting, -- students who meet the bar, perturbed
    (s.answers - s.hits)::bigint as below, -- the rest
    s.rate as share, -- share who meet the bar, 0 to 1
    s.rate_low as share_low, -- lower end of its 95 % interval, rounded down to a percent
    s.rate_high as share_high, -- upper end, rounded up
    s.added, -- half width of the 95 % interval of what perturbing alone did to the share, 0 to 1
    s.code, -- what stands in place of a share near 0 or 1
    o.bar, -- share of questions to get right, 0 to 1
    o.target, -- share of students who should meet the bar, 0 to 1
    b.fewest, -- fewest answered questions that count as evidence here
    b.fewest_of_course, -- fewest that the course file asks for
    o.evidence, -- settings or quizzes that count; empty for all
    if(s.answers is null, 'hidden: too few students, too near none or all, or no semester of [[terms]] is closed yet', null) as note -- why figures are missing
from store.outcome as o
inner join staging.shared_bar as b on o.outcome = b.outcome
cross join term_shown as p
left join computed.shared_figure as s
    on s.subject = 'outcome' and o.outcome = s.topic and p.term = s.term
