-- Answers that the own edition counts: those of rare sorts are in no sum, or what else it counts would tell how many they are.
select
    a.term, a.setting, a.section, a.place, a.topic, a.item, a.student, a.count, a.verdict,
    a.brackets, a.examined, a.reason, a.covered, a.first_try, a.response, a.file
from staging.answer as a
where not exists (
    select 1 from staging.rare_sort as r
    where a.term = r.term and a.setting = r.setting and r.sort in (
            'any', if(a.first_try, null, 'again'),
            if(a.verdict in ('right', 'right-other-form', 'wrong'), 'judged', coalesce(a.verdict, a.place))
        )
)
