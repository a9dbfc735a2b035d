-- Every answer to a question that is to be judged has a verdict.
select a.response, a.place
from main.answers as a
where a.place in ('task', 'judge', 'choice') and a.verdict is null
