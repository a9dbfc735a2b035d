-- What one distinct wrong answer is laid to, within one class.
select
    cast(null as varchar) as term, -- id of the term
    cast(null as varchar) as setting, -- practice, quiz or exam
    cast(null as varchar) as topic, -- id of the topic
    cast(null as bigint) as examined, -- key of the judged answer
    cast(null as varchar) as pattern, -- id of the pattern, or unexplained
    cast(null as varchar[]) as faults, -- ids of all faults; empty for unexplained
    cast(null as double) as share, -- fraction of the answer, 0 to 1
    cast(null as varchar) as rule_set -- fingerprint of the rules by which the answer was judged
where false
