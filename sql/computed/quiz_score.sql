-- How well the scores of one quiz would repeat, among students who answered all of it.
select
    cast(null as varchar) as term, -- id of the term
    cast(null as varchar) as setting, -- practice, quiz or exam
    cast(null as varchar) as quiz, -- name of the quiz or assignment
    cast(null as integer) as questions, -- questions in the score
    cast(null as integer) as students, -- students who answered all of them
    cast(null as integer) as others, -- students who answered some of them only
    cast(null as double) as mean_score, -- mean number right
    cast(null as double) as deviation, -- standard deviation of the number right
    cast(null as double) as alpha, -- coefficient alpha, which is KR-20 for right and wrong
    cast(null as double) as alpha_low, -- lower end of its 95 % interval
    cast(null as double) as alpha_high, -- upper end of its 95 % interval
    cast(null as double) as score_error, -- standard error of measurement, in questions right
    cast(null as varchar) as note -- why figures are missing
where false
