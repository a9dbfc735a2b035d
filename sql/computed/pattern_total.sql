-- How common each error is over a term.
select
    cast(null as varchar) as term, -- id of the term
    cast(null as varchar) as setting, -- practice, quiz or exam
    cast(null as varchar) as pattern, -- id, or ids joined by ' / ' where no question parts them
    cast(null as varchar[]) as members, -- the ids
    cast(null as integer) as students, -- students behind the rate
    cast(null as integer) as opportunities, -- first tries at questions that can show the error
    cast(null as double) as rate, -- share of the opportunities at which the error shows, 0 to 1
    cast(null as double) as rate_low, -- lower end of its 95 % interval
    cast(null as double) as rate_high, -- upper end of its 95 % interval
    cast(null as varchar) as rate_note, -- why there is no rate, or what to know of it
    cast(null as double) as rate_without_chance, -- the rate if no other slip ever gave a predicted answer
    cast(null as double) as rate_with_chance, -- the rate if a quarter of other slips gave a predicted answer
    cast(null as double) as persistence, -- share of showings after which the next opportunity shows it again
    cast(null as double) as persistence_low, -- lower end of its 95 % interval
    cast(null as double) as persistence_high, -- upper end of its 95 % interval
    cast(null as double) as persistence_beyond_chance, -- the same above what the class rate alone would give, at most 1
    cast(null as varchar) as persistence_note, -- why there is no persistence, or what to know of it
    cast(null as boolean) as shown -- whether its figures are of enough students and tell of no fewer by subtraction
where false
