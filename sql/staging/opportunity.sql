-- Every judged first try at a question that can show an error.
select
    j.response, j.term, j.setting, j.week, j.topic, j.section, j.item, j.item_from, j.student,
    j.examined, j.value_key, j.answered_at, j.answered_on, j.wrong, j.question,
    h.section as home_section, -- that of most of the student's answers of the term
    b.student is not null as bracketless -- whether the student left brackets out elsewhere in the class
from staging.judged as j
left join staging.home_section as h on j.term = h.term and j.student = h.student
left join (
    select distinct a.term, a.setting, a.topic, a.student
    from staging.answer as a
    where a.verdict = 'right-if-meant'
) as b
    on j.term is not distinct from b.term
    and j.setting = b.setting
    and j.topic is not distinct from b.topic
    and j.student = b.student
where j.covered
