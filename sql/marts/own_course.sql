-- The course as the pages open with it.
select
    c.title, -- the course's name
    c.minimum_students, -- groups of fewer distinct students are hidden
    c.rule_set, -- fingerprint of catalogue, reader and procedures that judged the answers
    c.items, -- fingerprint of the questions
    e.exports, -- fingerprint of all answer exports
    t.term as current_term, -- id of the latest term with answers of enough students, else with any
    t.title as current_term_title, -- its name
    l.current_week, -- last teaching week of it with answers
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
left join (
    -- One answer with a mistyped year must not push the term that everybody works in off the pages.
    select g.term, g.current_week
    from (
        select
            s.term,
            max(s.week) as current_week,
            max(w.position) as position,
            greatest(
                count(distinct s.student), sum(case when s.student is null then s.count else 0 end)
            ) as students
        from staging.answer as s
        inner join store.term as w on s.term = w.term
        group by s.term
    ) as g
    cross join store.course as k
    order by g.students >= k.minimum_students desc, g.position desc
    limit 1
) as l on true
left join store.term as t on l.term = t.term
