-- Share wrong on the first, second and later questions of a topic, the same students throughout.
select
    cast(null as varchar) as term, -- id of the term
    cast(null as varchar) as setting, -- practice, quiz or exam
    cast(null as varchar) as topic, -- id of the topic
    cast(null as integer) as chance, -- which question of the topic in the student's own order, from 1
    cast(null as integer) as reached, -- students who answered so many
    cast(null as integer) as students, -- students of the group that is followed, who answered all of these
    cast(null as integer) as wrong, -- of these, wrong
    cast(null as double) as rate, -- share wrong in the group, 0 to 1
    cast(null as double) as rate_low, -- lower end of its 95 % interval
    cast(null as double) as rate_high, -- upper end of its 95 % interval
    cast(null as double) as usual, -- share that the class as a whole has wrong on the questions that stood here
    cast(null as double) as modeled, -- share wrong that the additive factors model expects if every student of the class had gone on so far
    cast(null as varchar) as rate_note -- what to know of it
where false
