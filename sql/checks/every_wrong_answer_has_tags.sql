-- Every wrong answer has tags, or its rest unexplained.
select a.response
from main.answers as a
where a.verdict = 'wrong'
    and not exists (select t.response from main.tags as t where t.response = a.response)
