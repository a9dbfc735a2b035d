-- How well the scores of quizzes would repeat, small groups hidden; rounded, since exact ones tell how many have each score.
select
    q.term, -- id of the term
    q.setting, -- practice, quiz or exam
    q.quiz, -- name of the quiz or assignment
    q.questions, -- questions in the score
    if(q.students >= c.minimum_students, q.students, null) as students, -- students who answered all of them
    if(q.students >= c.minimum_students and (q.others = 0 or q.others >= c.minimum_students), round(q.mean_score, 1), null) as mean_score, -- mean number right; not where the questions' own figures less it would tell of few
    if(q.students >= c.minimum_students and (q.others = 0 or q.others >= c.minimum_students), round(q.deviation, 1), null) as deviation, -- standard deviation of the number right; likewise
    if(q.students >= c.minimum_students, round(q.alpha, 2), null) as alpha, -- coefficient alpha, which is KR-20 for right and wrong
    if(q.students >= c.minimum_students, round(q.alpha_low, 2), null) as alpha_low, -- lower end of its 95 % interval
    if(q.students >= c.minimum_students, round(q.alpha_high, 2), null) as alpha_high, -- upper end of its 95 % interval
    if(q.students >= c.minimum_students, round(q.score_error, 1), null) as score_error, -- standard error of measurement, in questions right
    if(q.students >= c.minimum_students, q.note, 'hidden: fewer than ' || c.minimum_students || ' students') as note -- why figures are missing
from computed.quiz_score as q
cross join store.course as c
