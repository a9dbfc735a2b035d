-- The shares of one wrong answer, unexplained included, sum to 1.
select t.response, sum(t.share) as total
from main.tags as t
group by t.response
having abs(sum(t.share) - 1) > 1e-6
