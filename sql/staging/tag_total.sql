-- Tags by error over all terms, as sums of shares: what a change of the rules moves.
with counted as (
    select
        coalesce(a.term, '') as term, a.setting, coalesce(a.topic, '') as topic, a.examined,
        sum(a.count) as answers
    from staging.answer as a
    where a.verdict = 'wrong'
    group by all
)
select s.pattern, sum(s.share * c.answers) as tags
from store.share as s
inner join counted as c
    on s.term = c.term and s.setting = c.setting and s.topic = c.topic and s.examined = c.examined
group by s.pattern
