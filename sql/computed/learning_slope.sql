-- How fast each topic is learned from question to question, by the additive factors model.
select
    cast(null as varchar) as term, -- id of the term
    cast(null as varchar) as setting, -- practice, quiz or exam
    cast(null as varchar) as topic, -- id of the topic
    cast(null as integer) as students, -- students whose answers were used, at most 2,000 a class
    cast(null as integer) as answers, -- their first tries on the topic, the first twelve of each student
    cast(null as integer) as chances, -- most questions that one student answered, up to twelve
    cast(null as double) as slope, -- what one more question on the topic adds to the log-odds of a right answer
    cast(null as double) as slope_low, -- lower end of its 95 % interval, students as the unit
    cast(null as double) as slope_high, -- upper end of its 95 % interval
    cast(null as double) as p_adjusted, -- p-value of no slope, adjusted over all topics and settings of the term
    cast(null as double[]) as modeled, -- share wrong at the first, second, ... question if every student of the class had gone on
    cast(null as varchar) as slope_note -- why there is no slope, or what to know of it
where false
