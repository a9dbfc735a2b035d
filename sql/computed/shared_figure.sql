-- Every count that everyone may see, perturbed, with its share.
select
    cast(null as varchar) as subject, -- wrong, error or outcome
    cast(null as varchar) as term, -- id of the term
    cast(null as varchar) as setting, -- practice, quiz or exam; empty for outcomes
    cast(null as varchar) as topic, -- id of the topic or outcome; empty for all topics
    cast(null as varchar) as pattern, -- id of the error, or ids joined by ' / '; else empty
    cast(null as double) as answers, -- answers or students, perturbed
    cast(null as double) as hits, -- of these those that count, perturbed; null where a code stands
    cast(null as double) as rate, -- hits over answers, 0 to 1; null where the code stands in its place
    cast(null as double) as rate_low, -- lower end of its 95 % interval, rounded down to a percent
    cast(null as double) as rate_high, -- upper end, rounded up
    cast(null as double) as added, -- half width of the 95 % interval of what perturbing alone did to the share, 0 to 1
    cast(null as varchar) as code -- what stands in place of a share near 0 or 1
where false
