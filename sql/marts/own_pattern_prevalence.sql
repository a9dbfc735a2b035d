-- How common each error is, with its place in the order of the next lesson, small groups hidden.
with grouped as (
    select r.term, r.setting, r.pattern, unnest(r.members) as id
    from computed.pattern_total as r
),
laid as (
    select t.response, g.term, g.setting, g.pattern, sum(t.share) as share
    from main.tags as t
    inner join grouped as g on t.term = g.term and t.setting = g.setting and t.pattern = g.id
    where t.first_try
    group by t.response, g.term, g.setting, g.pattern
),
single as (
    select t.response, t.term, t.setting, t.pattern
    from main.tags as t
    left join store.pattern as e on t.pattern = e.pattern
    where t.first_try and len(t.faults) = 1
    qualify
        not coalesce(e.general, false)
        or bool_and(coalesce(e.general, false)) over (partition by t.response)
),
explained as (
    select s.response, count(*) as explanations
    from single as s
    group by s.response
),
alone as (
    select s.response, g.pattern
    from single as s
    inner join grouped as g on s.term = g.term and s.setting = g.setting and s.pattern = g.id
    inner join explained as o on s.response = o.response
    group by s.response, g.pattern, o.explanations
    having count(*) = o.explanations
),
certain as (
    select l.term, l.setting, l.pattern, sum(l.share) as certain_errors
    from laid as l
    inner join alone as o on l.response = o.response and l.pattern = o.pattern
    group by l.term, l.setting, l.pattern
),
figures as (
    select
        p.term, p.setting, p.pattern, p.students, p.opportunities, p.expected_errors, p.rate,
        p.rate_low, p.rate_high, p.rate_note, p.rate_without_chance, p.rate_with_chance,
        p.persistence, p.persistence_low, p.persistence_high, p.persistence_beyond_chance,
        p.persistence_note, p.skill, j.says, p.general, k.certain_errors, c.minimum_students,
        p.students >= c.minimum_students as shown,
        if(p.students >= c.minimum_students, n.rank, null) as rank,
        if(p.students >= c.minimum_students, n.answers_ahead, null) as answers_ahead
    from main.pattern_prevalence as p
    cross join store.course as c
    left join staging.joint_name as j on p.pattern = j.pattern
    left join computed.next_lesson as n
        on p.term = n.term and p.setting = n.setting and p.pattern = n.pattern
            and n.students >= c.minimum_students and n.recent_rate * n.opportunities >= 0.5
    left join certain as k
        on p.term = k.term and p.setting = k.setting and p.pattern = k.pattern
)
select
    f.term, -- id of the term
    f.setting, -- practice, quiz or exam
    f.rank, -- place in the order of the next lesson, from 1; none in earlier terms, for slips, hidden groups and errors not made lately
    f.pattern, -- id of the error, or ids joined by ' / '
    f.skill, -- skill that it touches
    f.says, -- what the student did
    f.general, -- whether it is a slip of the pen or in arithmetic
    if(f.shown, f.students, null) as students, -- students with a chance to show it
    if(f.shown, f.opportunities, null) as opportunities, -- chances to show it
    if(f.shown, f.expected_errors, null) as expected_errors, -- rate times chances
    case
        when f.shown and f.expected_errors is not null
            then least(coalesce(f.certain_errors, 0), f.expected_errors)
    end as certain_errors, -- the part of them from answers that no other single known error leads to
    f.answers_ahead, -- answers in the class that it may still cost
    if(f.shown, f.rate, null) as rate, -- how common, 0 to 1
    if(f.shown, f.rate_low, null) as rate_low, -- lower end of its 95 % interval
    if(f.shown, f.rate_high, null) as rate_high, -- upper end of its 95 % interval
    if(f.shown, f.rate_without_chance, null) as rate_if_none_by_chance, -- the rate if no other slip ever gave a predicted answer
    if(f.shown, f.rate_with_chance, null) as rate_if_quarter_by_chance, -- the rate if a quarter of other slips gave one
    if(f.shown, f.persistence, null) as persistence, -- share of showings after which the next chance shows it again
    if(f.shown, f.persistence_low, null) as persistence_low, -- lower end of its 95 % interval
    if(f.shown, f.persistence_high, null) as persistence_high, -- upper end of its 95 % interval
    if(f.shown, f.persistence_beyond_chance, null) as persistence_beyond_chance, -- the same above what the class rate alone would give
    if(f.shown, f.rate_note, 'hidden: fewer than ' || f.minimum_students || ' students') as note, -- why figures are missing, or what to know
    if(f.shown, f.persistence_note, null) as persistence_note -- why there is no persistence
from figures as f
