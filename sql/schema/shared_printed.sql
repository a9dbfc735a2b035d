-- One cell of the tables for everyone as it was printed, once and for good.
select
    cast(null as varchar) as subject, -- wrong, error or outcome
    cast(null as varchar) as term, -- id of the term
    cast(null as varchar) as setting, -- practice, quiz or exam; empty for outcomes
    cast(null as varchar) as topic, -- id of the topic or outcome
    cast(null as varchar) as pattern, -- id of the error, or ids joined by ' / '; else empty
    cast(null as integer) as first, -- first week
    cast(null as integer) as last, -- last week
    cast(null as double) as answers, -- answers or students, perturbed
    cast(null as double) as hits, -- of these those that count, perturbed
    cast(null as double) as doublings, -- variance of what was added to each of both, as a power of 2
    cast(null as integer) as fewest, -- fewest students of a group when it was printed
    cast(null as integer) as most, -- questions that one student could answer; 1 of outcomes
    cast(null as ubigint[]) as marks -- its answers, each a number of student, question and day; none for errors, which count the same
where false
