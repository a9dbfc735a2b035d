-- One term against an earlier one on each question that both had.
select
    cast(null as varchar) as setting, -- practice, quiz or exam
    cast(null as varchar) as term_before, -- id of the earlier term
    cast(null as varchar) as term_after, -- id of the later term
    cast(null as varchar) as topic, -- id of the topic
    cast(null as varchar) as item, -- id of the question
    cast(null as varchar) as item_from, -- its version, empty for the first
    cast(null as integer) as students_before, -- students in the earlier term
    cast(null as integer) as students_after, -- students in the later term
    cast(null as double) as rate_before, -- share wrong, earlier term
    cast(null as double) as rate_after, -- the same, later term
    cast(null as double) as difference, -- after less before
    cast(null as double) as difference_low, -- lower end of its 95 % interval
    cast(null as double) as difference_high, -- upper end of its 95 % interval
    cast(null as varchar) as difference_note, -- why there is no interval, or what to know
    cast(null as double) as p, -- two-sided p-value of no difference
    cast(null as double) as p_adjusted -- the same after Benjamini and Hochberg over the table
where false
