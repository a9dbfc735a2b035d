-- First tries that were judged, where there are several terms to compare.
select j.term, j.setting, j.topic, j.item, j.item_from, j.student, j.wrong
from staging.judged as j
where (select count(distinct b.term) from staging.judged as b) > 1
