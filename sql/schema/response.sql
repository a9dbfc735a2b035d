-- One stored answer, or one count of equal answers.
select
    cast(null as bigint) as response, -- stable key of the answer
    cast(null as varchar) as term, -- id of the term
    cast(null as integer) as week, -- teaching week assigned, from 1
    cast(null as integer) as answered_week, -- teaching week in which it was given, from 1
    cast(null as varchar) as section, -- class section
    cast(null as varchar) as topic, -- id of the topic
    cast(null as varchar) as item, -- id of the question
    cast(null as varchar) as item_from, -- version of the question
    cast(null as varchar) as place, -- task, judge, choice, skip or unlisted
    cast(null as varchar) as task, -- task of the catalogue, or judge
    cast(null as varchar) as problem, -- the question as this student saw it
    cast(null as varchar) as key, -- right answer where the course gives it
    cast(null as varchar) as form, -- form asked for
    cast(null as varchar) as numbers, -- real or complex
    cast(null as varchar) as method, -- procedure that was taught for the question
    cast(null as varchar) as student, -- pseudonym, 32 hexadecimal digits; null for counts
    cast(null as integer) as attempt, -- attempt at this question as the export numbers it, from 1
    cast(null as timestamp) as answered_at, -- time given, UTC
    cast(null as varchar) as answer, -- what was typed
    cast(null as varchar) as work, -- lines of working
    cast(null as double) as score, -- points given by the source
    cast(null as double) as points, -- points that could be had
    cast(null as varchar) as quiz, -- quiz or assignment
    cast(null as varchar) as setting, -- practice, quiz or exam
    cast(null as boolean) as supervised, -- whether the work was watched
    cast(null as boolean) as calculator, -- whether a calculator was allowed
    cast(null as integer) as count, -- how many equal answers this row stands for, 1 normally
    cast(null as varchar) as file, -- export that held it
    cast(null as integer) as line, -- line or row in that export, from 1
    cast(null as varchar) as source_place, -- where it stood in an export of many parts, as `member.xml:12:5`
    cast(null as varchar) as source_id, -- keyed digest of what later exports call it by; null where there is none
    cast(null as double) as seconds, -- time that the answer took, in seconds
    cast(null as bigint) as slot, -- place of the answer: same student, question and attempt
    cast(null as varchar) as term_given, -- term as the export named it
    cast(null as varchar) as problem_given, -- question as the export gave it
    cast(null as varchar) as quiz_given, -- quiz as the export named it
    cast(null as date) as answered_on -- day of the answer in the course's zone
where false
