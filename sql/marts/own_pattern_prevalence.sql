-- Errors ranked by how common they are, small groups hidden.
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
certain as (
    select l.term, l.setting, l.pattern, count(*)::integer as certain_errors
    from laid as l
    where l.share >= 0.95
    group by l.term, l.setting, l.pattern
),
figures as (
    select
        p.term, p.setting, p.pattern, p.students, p.opportunities, p.expected_errors, p.rate,
        p.rate_low, p.rate_high, p.rate_note, p.rate_without_chance, p.rate_with_chance,
        p.persistence, p.persistence_low, p.persistence_high, p.persistence_beyond_chance,
        p.persistence_note, p.skill, j.says, p.general, k.certain_errors, c.minimum_students,
        p.students >= c.minimum_students as shown
    from main.pattern_prevalence as p
    cross join store.course as c
    left join staging.joint_name as j on p.pattern = j.pattern
    left join certain as k
        on p.term = k.term and p.setting = k.setting and p.pattern = k.pattern
)
select
    f.term, -- id of the term
    f.setting, -- practice, quiz or exam
    case
        when f.shown and f.rate is not null and not coalesce(f.general, false)
            then row_number() over (
                partition by f.term, f.setting, f.shown and f.rate is not null and not coalesce(f.general, false)
                order by f.rate desc, f.pattern
            )
    end as rank, -- place by rate, 1 the most common; none for slips and hidden groups
    f.pattern, -- id of the error, or ids joined by ' / '
    f.skill, -- skill that it touches
    f.says, -- what the student did
    f.general, -- whether it is a slip of the pen or in arithmetic
    if(f.shown, f.students, null) as students, -- students with a chance to show it
    if(f.shown, f.opportunities, null) as opportunities, -- chances to show it
    if(f.shown, f.expected_errors, null) as expected_errors, -- rate times chances
    if(f.shown, coalesce(f.certain_errors, 0), null) as certain_errors, -- answers that leave this explanation alone
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
