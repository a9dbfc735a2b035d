-- Answers that the own edition counts: those of rare sorts are in no sum, or what else it counts would tell how many they are.
select
    a.term, a.setting, a.section, a.place, a.topic, a.item, a.student, a.count, a.verdict,
    a.brackets, a.examined, a.reason, a.covered, a.first_try, a.response, a.file
from staging.answer as a
left join (
    select r.term, r.setting, list(r.sort) as sorts from staging.rare_sort as r group by r.term, r.setting
) as r on a.term = r.term and a.setting = r.setting
where r.sorts is null or not list_has_any(r.sorts, [
        'any', if(a.first_try, null, 'again'),
        if(a.verdict in ('right', 'right-other-form', 'wrong'), 'judged', coalesce(a.verdict, a.place))
    ])
