-- One term against an earlier one, on the questions that both had, with fixed weights.
select
    cast(null as varchar) as term_before, -- id of the earlier term
    cast(null as varchar) as term_after, -- id of the later term
    cast(null as varchar) as setting, -- practice, quiz or exam; no row mixes settings
    cast(null as varchar) as kind, -- topic or pattern
    cast(null as varchar) as subject, -- id of the topic or error
    cast(null as integer) as common_questions, -- questions that both terms had
    cast(null as integer) as students_before, -- students in the earlier term
    cast(null as integer) as students_after, -- students in the later term
    cast(null as double) as rate_before, -- share wrong, or showing the error, on common questions, earlier term
    cast(null as double) as rate_after, -- the same, later term
    cast(null as double) as difference, -- after less before; below 0 means fewer errors
    cast(null as double) as difference_low, -- lower end of its 95 % interval
    cast(null as double) as difference_high, -- upper end of its 95 % interval
    cast(null as varchar) as difference_note, -- why there is no difference, or what to know of it
    cast(null as double) as smallest_visible, -- smallest difference that these data would have shown with 80 % chance
    cast(null as double) as margin, -- difference that counts as small, stated before looking
    cast(null as boolean) as within_margin, -- whether the 90 % interval lies inside the margin
    cast(null as double) as p, -- two-sided p-value of no difference
    cast(null as double) as p_adjusted -- the same after Benjamini and Hochberg over the table
where false
