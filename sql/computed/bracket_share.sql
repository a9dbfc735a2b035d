-- What an answer that is right if brackets were meant is laid to, by its students' other answers.
select
    cast(null as varchar) as term, -- id of the term
    cast(null as varchar) as setting, -- practice, quiz or exam
    cast(null as varchar) as topic, -- id of the topic
    cast(null as bigint) as examined, -- key of the judged answer
    cast(null as varchar) as pattern, -- right: brackets were meant; else the error as typed, or unexplained
    cast(null as varchar[]) as faults, -- ids of all faults; empty for right and unexplained
    cast(null as double) as share -- fraction of the answer, 0 to 1
where false
