-- One term against an earlier one on the questions that both had, over all topics and by topic.
select
    cast(null as varchar) as setting, -- practice, quiz or exam
    cast(null as varchar) as term_before, -- id of the earlier term
    cast(null as varchar) as term_after, -- id of the later term
    cast(null as varchar) as topic, -- id of the topic; null for all topics together
    cast(null as integer) as common_questions, -- questions that both terms had
    cast(null as integer) as students_before, -- students in the earlier term
    cast(null as integer) as students_after, -- students in the later term
    cast(null as double) as rate_before, -- share wrong at the fixed mix of questions, earlier term
    cast(null as double) as rate_after, -- the same, later term
    cast(null as double) as difference, -- after less before
    cast(null as double) as difference_low, -- lower end of its 95 % interval
    cast(null as double) as difference_high, -- upper end of its 95 % interval
    cast(null as varchar) as difference_note, -- what to know of it
    cast(null as double) as smallest_visible, -- smallest difference that these data would have shown with 80 % chance
    cast(null as double) as margin, -- difference that counts as small, stated before looking
    cast(null as boolean) as within_margin, -- whether the 90 % interval lies inside the margin
    cast(null as double) as crude_before, -- share wrong at the term's own mix of questions, earlier term
    cast(null as double) as crude_after, -- the same, later term
    cast(null as double) as by_rates, -- part of the crude difference that the rates of the questions make
    cast(null as double) as by_mix, -- part that the mix of questions makes
    cast(null as double) as odds_ratio, -- odds of a wrong answer, later over earlier, pooled over questions
    cast(null as double) as odds_ratio_low, -- lower end of its 95 % interval, widened where students answer several questions
    cast(null as double) as odds_ratio_high, -- upper end of its 95 % interval
    cast(null as double) as homogeneity_p, -- p-value of one odds ratio for all questions
    cast(null as double) as p, -- two-sided p-value of no difference
    cast(null as double) as p_holm -- the same after Holm over the rows for all topics; null in the others
where false
