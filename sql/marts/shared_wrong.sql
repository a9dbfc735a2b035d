-- Right and wrong first tries that everyone may see, by term and by topic, class sections pooled.
with place as (
    select distinct s.term, s.setting
    from computed.shared_figure as s
    where s.subject = 'wrong'
),
kept as (
    -- Of these only one student's answer may say that they are there.
    select i.topic from store.item as i group by i.topic having not bool_or(coalesce(i.listed, true))
),
lines as (
    select p.term, p.setting, t.topic, t.title, t.position
    from place as p
    cross join store.topic as t
    where t.topic not in (select k.topic from kept as k where k.topic is not null)
    union all
    select p.term, p.setting, '' as topic, null as title, null as position
    from place as p
)
select
    l.term, -- id of the term
    m.title as term_title, -- name of the term
    l.setting, -- practice, quiz, exam or another setting
    if(l.topic = '', 'term', 'topic') as grain, -- what the row is a total of: term, or topic
    l.topic, -- id of the topic, empty for all topics that are shown
    l.title as topic_title, -- name of the topic
    l.position as topic_position, -- order in the course, from 1
    s.answers::bigint as answers, -- first tries judged right or wrong, perturbed
    s.hits::bigint as wrong, -- of these, judged wrong, perturbed
    (s.answers - s.hits)::bigint as "right", -- the rest
    s.rate, -- share wrong, 0 to 1
    s.rate_low, -- lower end of its 95 % interval, rounded down to a percent
    s.rate_high, -- upper end, rounded up
    s.added, -- half width of the 95 % interval of what perturbing alone did to the share, 0 to 1
    s.code, -- what stands in place of a share near 0 or 1
    if(s.answers is null, 'hidden: too few students or answers, too near none or all, or not closed yet', null) as note -- why figures are missing
from lines as l
left join (select distinct t.term, t.title from staging.shared_term as t) as m on l.term = m.term
left join computed.shared_figure as s
    on s.subject = 'wrong' and l.term = s.term and l.setting = s.setting and l.topic = s.topic
