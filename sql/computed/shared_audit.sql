-- What an outsider's linear program could make of the tables for everyone.
select
    cast(null as varchar) as subject, -- wrong, outcome or error
    cast(null as varchar) as term, -- id of the term
    cast(null as varchar) as setting, -- practice, quiz or exam; empty for outcomes
    cast(null as integer) as counts, -- counts that could be printed
    cast(null as integer) as hidden, -- of these, hidden
    cast(null as integer) as attacked, -- hidden counts, and changes since earlier editions, that were attacked
    cast(null as integer) as editions, -- earlier editions attacked together with this one
    cast(null as boolean) as passed, -- whether none could be narrowed down to fewer students than the limit
    cast(null as varchar) as reason -- why not, or what was pooled
where false
