-- What the ranking amounts to, in words.
select
    cast(null as varchar) as term, -- id of the term
    cast(null as varchar) as setting, -- practice, quiz or exam
    cast(null as varchar) as verdict, -- clear, likely, open, nothing stands out or cannot tell yet
    cast(null as varchar) as sentence -- one plain sentence
where false
