-- Days on which each question was answered, as halves of marks: that day's own first, then those of the days beside it, which another time zone would make of it, and of no day.
select
    row_number() over (order by d.item, d.answered_on)::integer as day,
    d.item, d.answered_on,
    list_transform(
        [d.answered_on, d.answered_on - 1, d.answered_on + 1, null],
        lambda one: md5_number_lower(concat_ws('|', d.item, one)) >> 32
    ) as near
from (select distinct a.item, a.answered_on from staging.answer as a) as d
