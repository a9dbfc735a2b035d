-- Outcomes with the fewest answers that everyone sees counted: of fewer, whether a student meets the bar tells nearly how many were right.
select o.outcome, o.bar, greatest(coalesce(o.fewest, 1), 8) as fewest, coalesce(o.fewest, 1) as fewest_of_course
from store.outcome as o
