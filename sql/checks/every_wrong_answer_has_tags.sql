-- Every wrong answer has tags, or its rest unexplained; one that follows from an earlier part has none.
select a.response
from main.answers as a
where a.verdict = 'wrong'
    and a.follows_from is null
    and not exists (select t.response from main.tags as t where t.response = a.response)
