-- Share of students who chose each option of a choice question.
select
    cast(null as varchar) as term, -- id of the term
    cast(null as varchar) as setting, -- practice, quiz or exam
    cast(null as varchar) as item, -- id of the question
    cast(null as varchar) as item_from, -- its version, empty for the first
    cast(null as varchar) as option, -- text of the option
    cast(null as boolean) as is_right, -- whether it is the right one
    cast(null as integer) as students, -- students who chose any
    cast(null as integer) as chosen, -- students who chose this one
    cast(null as double) as share, -- chosen over students, 0 to 1
    cast(null as double) as share_low, -- lower end of its 95 % interval
    cast(null as double) as share_high, -- upper end of its 95 % interval
    cast(null as varchar) as share_note, -- what to know of it
    cast(null as boolean) as shown -- whether its count is no small one and tells of none by subtraction
where false
