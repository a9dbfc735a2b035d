-- The course as the pages open with it.
select
    c.title, -- the course's name
    c.minimum_students, -- groups of fewer distinct students are hidden
    c.rule_set, -- fingerprint of catalogue, reader and procedures that judged the answers
    c.items, -- fingerprint of the questions
    e.exports, -- fingerprint of all answer exports
    t.term as current_term, -- id of the latest term with answers of enough students, else with any
    t.title as current_term_title, -- its name
    l.week as current_week, -- teaching week of it that enough students have reached
    a.first_answer, -- day by which enough students had begun, in the course's zone
    a.last_answer, -- last day on which, or after which, enough students answered
    q.same_questions, -- questions declared to ask the same as another with other numbers
    case when a.students >= c.minimum_students then a.students end as students -- distinct students
from store.course as c
cross join (
    select count(distinct i.item)::integer as same_questions
    from store.item as i
    where i.same is not null
) as q
cross join (
    -- The very first and last days are those of one student.
    select
        list_sort(list(d.first_day))[any_value(k.minimum_students)] as first_answer,
        list_reverse_sort(list(d.last_day))[any_value(k.minimum_students)] as last_answer,
        count(*)::integer as students
    from (
        select s.student, min(s.answered_on) as first_day, max(s.answered_on) as last_day
        from staging.answer as s
        where s.student is not null
        group by s.student
    ) as d
    cross join store.course as k
) as a
cross join (
    select left(md5(string_agg(f.file || f.sha256, ' ' order by f.file, f.sha256)), 16) as exports
    from store.source_file as f
) as e
left join staging.current_week as l on true
left join store.term as t on l.term = t.term
