-- What follows a right answer or an error on the student's next question of the same topic.
select
    cast(null as varchar) as term, -- id of the term
    cast(null as varchar) as setting, -- practice, quiz or exam
    cast(null as varchar) as state, -- right, the id of an error, or other error
    cast(null as varchar) as next_state, -- the same on the next question
    cast(null as integer) as students, -- students with any answer in the first state
    cast(null as double) as answers, -- answers in the first state that had a next one; shares count in part
    cast(null as double) as rate, -- share of these that went on to the second state
    cast(null as double) as rate_low, -- lower end of its 95 % interval
    cast(null as double) as rate_high, -- upper end of its 95 % interval
    cast(null as double) as steadied, -- the rate drawn toward that of the whole class, for rows of few answers
    cast(null as varchar) as rate_note -- why there is no rate, or what to know of it
where false
