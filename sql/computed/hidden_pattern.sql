-- What one question cannot show.
select
    cast(null as varchar) as term, -- id of the term
    cast(null as varchar) as setting, -- practice, quiz or exam
    cast(null as varchar) as item, -- id of the question
    cast(null as varchar[]) as patterns -- ids of errors of its topic that it hides
where false
