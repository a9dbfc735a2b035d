-- No answer that is not judged wrong has a tag.
select a.response, a.verdict
from main.answers as a
inner join main.tags as t on a.response = t.response
where a.verdict is distinct from 'wrong'
