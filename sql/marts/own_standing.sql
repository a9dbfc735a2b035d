-- What the next run is compared with: errors in their order, questions to look at, lessons, answers.
select
    s.term, -- id of the term
    s.setting, -- practice, quiz or exam; all for answers
    s.kind, -- answers, error, question or lesson
    s.name, -- id of the error or question, or of lesson and error; empty for answers
    s.figure -- number of answers, place in the order, or change in points after the lesson
from (
    select t.term, 'all' as setting, 'answers' as kind, '' as name, t.answers::double as figure
    from main.own_term as t
    union all
    select p.term, p.setting, 'error' as kind, p.pattern as name, p.rank::double as figure
    from main.own_pattern_prevalence as p
    where p.rank is not null and p.rate is not null
    union all
    select i.term, i.setting, 'question' as kind, i.item as name, null as figure
    from main.own_item_statistics as i
    where i.flag is not null
    union all
    select e.term, e.setting, 'lesson' as kind, e.lesson || ': ' || e.pattern as name, e.difference as figure
    from main.own_lesson_effect as e
    where e.difference is not null
) as s
