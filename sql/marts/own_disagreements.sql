-- Answers that our check and the source's score judge differently, by what would cure it; small groups in one sum.
select
    r.term, -- id of the term
    split_part(r.part, ': ', 1) as setting, -- practice, quiz or exam
    split_part(r.part, ': ', 2) as kind, -- which way they differ
    r.detail as cure, -- both ways, form, never accepted or never refused; null in the row that sums several
    nullif(split_part(r.name, chr(31), 1), '') as item, -- id of the question; null where answers of several are summed
    nullif(split_part(r.name, chr(31), 2), '') as problem, -- the question as these students saw it
    nullif(split_part(r.name, chr(31), 3), '') as as_typed, -- what enough students typed
    p.accepted, -- how most who got the points typed the same value; none where too few typed it alike
    p.file, -- export that holds the first of these answers
    p.line as first_line, -- its line or row there, from 1
    r.answers, -- answers on which they differ
    r.students, -- distinct students
    r.note -- what the row sums, or why figures are missing
from staging.apart_row as r
left join (
    select
        u.term, u.setting, u.cure, u.item, u.problem, u.answer, any_value(u.accepted) as accepted,
        min_by(u.file, (u.file, u.line)) as file, min_by(u.line, (u.file, u.line)) as line
    from staging.unfair as u
    group by all
) as p
    on r.term is not distinct from p.term and r.part like p.setting || ': %' and r.detail = p.cure
    and r.name = concat_ws(chr(31), p.item, coalesce(p.problem, ''), p.answer)
where r.list = 'disagreements'
