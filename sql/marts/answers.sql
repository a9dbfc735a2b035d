-- One row per stored answer. For the owner of the database: pages read the own_ tables.
select
    a.response, -- integer key of the answer
    a.term, -- id of the term
    a.week, -- teaching week in which the question was assigned, from 1
    a.answered_week, -- teaching week in which the answer was given, from 1
    a.section, -- class section
    a.topic, -- id of the topic
    a.item, -- id of the question
    a.item_from, -- version of the question
    a.place, -- task, judge, choice, skip or unlisted
    a.task, -- task of the catalogue, or judge
    a.problem, -- the question as this student saw it
    a.student, -- pseudonym, 32 hexadecimal digits
    a.attempt, -- attempt at this question, from 1
    a.first_try, -- whether it is the student's first try at this question in this setting
    a.answered_at, -- time given, UTC
    a.answer, -- what was typed
    a.work, -- lines of working
    a.read_as, -- value used, in plain notation; null when unreadable
    a.value, -- value used, as sympy source; null when unreadable
    a.verdict, -- right, right-other-form, right-if-meant, too-coarse, wrong, unreadable, blank or no-key; null when not judged
    a.follows_from, -- id of the earlier part from whose own answer a wrong one follows; null otherwise
    a.brackets, -- convention by which brackets that were not typed would make it right; null where none are in doubt
    a.reason, -- why unreadable, or what to know of the verdict
    a.first_wrong_line, -- line of working that does not follow, from 1; 0 when all follow
    a.score, -- points given by the source
    a.points, -- points that could be had
    a.quiz, -- quiz or assignment
    a.setting, -- practice, quiz or exam
    a.supervised, -- whether the work was watched
    a.calculator, -- whether a calculator was allowed
    a.count, -- how many equal answers this row stands for, 1 normally
    a.file, -- export that held it
    a.line, -- line or row in that export, from 1
    a.seconds, -- time that the answer took, in seconds
    a.source_place -- where it stood in an export of many parts, as `member.xml:12:5`
from staging.answer as a
