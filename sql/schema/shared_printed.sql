-- One cell of the tables for everyone as it was printed: its figures stay until enough students changed.
select
    cast(null as varchar) as subject, -- wrong, error, outcome or reading
    cast(null as varchar) as term, -- id of the term
    cast(null as varchar) as setting, -- practice, quiz or exam; empty for outcomes
    cast(null as varchar) as topic, -- id of the topic or outcome, or what is measured
    cast(null as varchar) as pattern, -- id of the error, or ids joined by ' / '; else empty
    cast(null as integer) as first, -- first week
    cast(null as integer) as last, -- last week
    cast(null as double) as answers, -- answers or students, perturbed; null, as the other figures, where it is no longer printed
    cast(null as double) as hits, -- of these those that count, perturbed
    cast(null as double) as students, -- students behind it, a few less than there are
    cast(null as double) as doublings, -- variance of what was added to each of both, as a power of 2
    cast(null as integer) as prints, -- how often what it counts was printed with other figures
    cast(null as varchar[]) as questions, -- ids of the questions that it counted
    cast(null as ubigint[]) as marks -- one number for each student and week, which changes with what the student adds
where false
