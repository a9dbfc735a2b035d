-- One cell of the tables for everyone as it was printed: its figures stay until enough students changed.
select
    cast(null as varchar) as subject, -- wrong, error, outcome or reading
    cast(null as varchar) as term, -- id of the term
    cast(null as varchar) as setting, -- practice, quiz or exam; empty for outcomes
    cast(null as varchar) as topic, -- id of the topic or outcome, or what is measured
    cast(null as varchar) as pattern, -- id of the error, or ids joined by ' / '; else empty
    cast(null as integer) as first, -- first period
    cast(null as integer) as last, -- last period
    cast(null as double) as answers, -- answers or students, perturbed; null, as the other figures, where it is no longer printed
    cast(null as double) as hits, -- of these those that count, perturbed
    cast(null as double) as students, -- students behind it, a few less than there are
    cast(null as double) as answers_sd, -- standard deviation of what was added to the answers
    cast(null as double) as hits_sd, -- and to those that count
    cast(null as integer) as prints, -- how often it was printed with other figures
    cast(null as ubigint[]) as marks -- one number for each student and period, which changes with what the student adds
where false
