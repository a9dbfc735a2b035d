-- How common each error is, with its place in the order of the next lesson and every factor of it, small groups hidden.
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
ahead as (
    select u.term, u.setting, u.pattern, list(t.title order by t.position) as titles
    from (
        select n.term, n.setting, n.pattern, unnest(n.topics_ahead) as topic
        from computed.next_lesson as n
    ) as u
    inner join store.topic as t on u.topic = t.topic
    group by u.term, u.setting, u.pattern
),
figures as (
    select
        p.term, p.setting, p.pattern, p.students, p.opportunities, p.expected_errors, p.rate,
        p.rate_low, p.rate_high, p.rate_note, p.rate_without_chance, p.rate_with_chance,
        p.persistence, p.persistence_low, p.persistence_high, p.persistence_beyond_chance,
        p.persistence_note, p.skill, j.says, p.general, k.certain_errors, c.minimum_students,
        p.shown
    from main.pattern_prevalence as p
    cross join store.course as c
    left join staging.joint_name as j on p.pattern = j.pattern
    left join certain as k
        on p.term = k.term and p.setting = k.setting and p.pattern = k.pattern
)
select
    f.term, -- id of the term
    f.setting, -- practice, quiz or exam
    n.rank, -- place in the order of the next lesson, from 1; none in earlier terms, for slips, hidden groups and errors not made
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
    if(f.shown, f.rate, null) as rate, -- how common, 0 to 1
    if(f.shown, f.rate_low, null) as rate_low, -- lower end of its 95 % interval
    if(f.shown, f.rate_high, null) as rate_high, -- upper end of its 95 % interval
    if(f.shown, f.rate_without_chance, null) as rate_if_none_by_chance, -- the rate if no other slip ever gave a predicted answer
    if(f.shown, f.rate_with_chance, null) as rate_if_quarter_by_chance, -- the rate if a quarter of other slips gave one
    if(f.shown, f.persistence, null) as persistence, -- share of showings after which the next chance shows it again
    if(f.shown, f.persistence_low, null) as persistence_low, -- lower end of its 95 % interval
    if(f.shown, f.persistence_high, null) as persistence_high, -- upper end of its 95 % interval
    if(f.shown, f.persistence_beyond_chance, null) as persistence_beyond_chance, -- the same above what the class rate alone would give
    if(f.shown, f.rate_note, 'hidden: fewer than ' || f.minimum_students || ' students, or so that no such count can be worked out') as note, -- why figures are missing, or what to know
    if(f.shown, f.persistence_note, null) as persistence_note, -- why there is no persistence
    n.answers_ahead, -- answers in the class that it may still cost; what stands from here on is missing as the place is
    n.recent_from, -- first of the last two weeks with answers of this setting
    n.recent_to, -- the last of them
    if(n.lately, n.recent_rate, null) as recent_rate, -- how common in these weeks, 0 to 1; missing where they tell nothing of it
    if(n.lately, n.recent_low, null) as recent_low, -- lower end of its 95 % interval
    if(n.lately, n.recent_high, null) as recent_high, -- upper end of its 95 % interval
    if(n.lately, n.opportunities, null) as recent_opportunities, -- chances to show it in these weeks
    if(n.lately, n.students, null) as recent_students, -- students with any
    n.showed, -- answers laid to it after which the student had another chance
    n.persistence_counted, -- share that comes back as the order counts it: drawn toward that of all errors
    n.class_students, -- students with an answer in these weeks
    n.usual_chances, -- chances per student in the whole term
    n.chances_ahead, -- chances per student still to come; missing when unknown
    n.weight, -- declared weight, 1 unless the course says otherwise
    n.probability_top_three, -- chance to be among the first three; too sure of itself, read the words
    n.certainty, -- clear, likely or open
    n.stands_out, -- whether it is common enough for a lesson, beyond doubt
    coalesce(a.titles, []) as topics_ahead, -- topics to come on whose questions it can show
    n.note as order_note, -- what to know of its place
    n.rank_before -- place in the order without the latest week of this setting; missing where it had none
from figures as f
left join computed.next_lesson as n
    on f.term = n.term and f.setting = n.setting and f.pattern = n.pattern
        and least(n.students, f.students) >= f.minimum_students
        and n.recent_rate * n.opportunities >= 0.5
left join ahead as a on f.term = a.term and f.setting = a.setting and f.pattern = a.pattern
