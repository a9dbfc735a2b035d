-- How common each error of the current term is by class section, topic and week, where there are two sections or more.
select
    cast(null as varchar) as term, -- id of the term
    cast(null as varchar) as setting, -- practice, quiz or exam
    cast(null as varchar) as section, -- class section, that of most of a student's answers; empty where no answer names one
    cast(null as varchar) as topic, -- id of the topic
    cast(null as integer) as week, -- teaching week assigned
    cast(null as varchar) as pattern, -- id, or ids joined by ' / ' where no question parts them
    cast(null as integer) as students, -- students behind the rate
    cast(null as integer) as opportunities, -- first tries at questions that can show the error
    cast(null as double) as rate, -- share of the opportunities at which the error shows, 0 to 1
    cast(null as double) as rate_low, -- lower end of its 95 % interval
    cast(null as double) as rate_high, -- upper end of its 95 % interval
    cast(null as varchar) as rate_note, -- why there is no rate, or what to know of it
    cast(null as boolean) as shown -- whether its figures are of enough students and tell of no fewer by subtraction
where false
