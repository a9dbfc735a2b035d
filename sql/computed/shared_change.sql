-- Changes between two terms that everyone may see, worked out from what is printed of each.
select
    cast(null as varchar) as setting, -- practice, quiz or exam
    cast(null as varchar) as term_before, -- id of the earlier term
    cast(null as varchar) as term_after, -- id of the later term
    cast(null as varchar) as kind, -- topic or pattern
    cast(null as varchar) as subject, -- id of the topic or error
    cast(null as double) as difference, -- after less before, -1 to 1
    cast(null as double) as difference_low, -- lower end of its 95 % interval
    cast(null as double) as difference_high, -- upper end of its 95 % interval
    cast(null as double) as p_adjusted -- p-value of no difference, adjusted over all of these together
where false
