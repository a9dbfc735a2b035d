-- Share wrong at the first and at the last try of students who tried a question again, by question.
select
    cast(null as varchar) as term, -- id of the term
    cast(null as varchar) as setting, -- practice, quiz or exam
    cast(null as varchar) as item, -- id of the question
    cast(null as integer) as students, -- students who tried it again
    cast(null as integer) as both_wrong, -- of these, wrong at both tries
    cast(null as integer) as mended, -- of these, wrong at first and right at last
    cast(null as integer) as spoiled, -- of these, right at first and wrong at last
    cast(null as integer) as both_right, -- of these, right at both tries
    cast(null as double) as wrong_first, -- share wrong at the first try, 0 to 1
    cast(null as double) as wrong_last, -- share wrong at the last try, 0 to 1
    cast(null as double) as difference, -- last less first; below 0 means fewer errors
    cast(null as double) as difference_low, -- lower end of its 95 % interval, pairs of the same students
    cast(null as double) as difference_high, -- upper end of its 95 % interval
    cast(null as varchar) as difference_note, -- why there is no interval, or what to know
    cast(null as double) as p, -- p-value of no change, McNemar's mid-p
    cast(null as double) as p_adjusted -- the same after Benjamini and Hochberg over the table
where false
