-- What `own_standing` was at the end of the last run that changed anything.
select
    cast(null as varchar) as term, -- id of the term
    cast(null as varchar) as setting, -- practice, quiz or exam; all for answers
    cast(null as varchar) as kind, -- answers, error, question or lesson
    cast(null as varchar) as name, -- id of the error or question, or of lesson and error
    cast(null as double) as figure -- number of answers, place in the order, or change in points
where false
