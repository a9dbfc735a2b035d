-- Terms compared over all topics and by topic, and what their difference is made of; small groups hidden.
with figures as (
    select
        t.setting, t.term_before, t.term_after, t.topic, p.title as topic_title, t.common_questions,
        t.students_before, t.students_after, t.rate_before, t.rate_after, t.difference,
        t.difference_low, t.difference_high, t.difference_note, t.smallest_visible, t.margin,
        t.within_margin, t.crude_before, t.crude_after, t.by_rates, t.by_mix, t.odds_ratio,
        t.odds_ratio_low, t.odds_ratio_high, t.homogeneity_p, t.p, t.p_holm, c.minimum_students,
        least(t.students_before, t.students_after) >= c.minimum_students as shown
    from computed.term_change as t
    cross join store.course as c
    left join store.topic as p on t.topic = p.topic
)
select
    f.setting, -- practice, quiz or exam
    f.term_before, -- id of the earlier term
    f.term_after, -- id of the later term
    f.topic, -- id of the topic; null for all topics together
    f.topic_title, -- its name
    f.common_questions, -- questions that both terms had
    if(f.shown, f.students_before, null) as students_before, -- students in the earlier term
    if(f.shown, f.students_after, null) as students_after, -- students in the later term
    if(f.shown, f.rate_before, null) as rate_before, -- share wrong at the fixed mix of questions, earlier term
    if(f.shown, f.rate_after, null) as rate_after, -- the same, later term
    if(f.shown, f.difference, null) as difference, -- after less before; below 0 means fewer errors
    if(f.shown, f.difference_low, null) as difference_low, -- lower end of its 95 % interval
    if(f.shown, f.difference_high, null) as difference_high, -- upper end of its 95 % interval
    if(f.shown, f.smallest_visible, null) as smallest_visible, -- smallest difference that these data would have shown with 80 % chance
    f.margin, -- difference that counts as small, stated before looking
    if(f.shown, f.within_margin, null) as within_margin, -- whether the 90 % interval lies inside the margin
    if(f.shown, f.crude_before, null) as crude_before, -- share wrong at the term's own mix of questions, earlier term
    if(f.shown, f.crude_after, null) as crude_after, -- the same, later term
    if(f.shown, f.by_rates, null) as by_rates, -- part of the crude difference that the rates of the questions make
    if(f.shown, f.by_mix, null) as by_mix, -- part that the mix of questions makes
    if(f.shown, f.odds_ratio, null) as odds_ratio, -- odds of a wrong answer, later over earlier, pooled over questions
    if(f.shown, f.odds_ratio_low, null) as odds_ratio_low, -- lower end of its 95 % interval, widened where students answer several questions
    if(f.shown, f.odds_ratio_high, null) as odds_ratio_high, -- upper end of its 95 % interval
    if(f.shown, f.homogeneity_p, null) as homogeneity_p, -- p-value of one odds ratio for all questions
    if(f.shown, f.p, null) as p, -- two-sided p-value of no difference
    if(f.shown, f.p_holm, null) as p_holm, -- the same after Holm over the rows for all topics
    if(f.shown, f.difference_note, 'hidden: fewer than ' || f.minimum_students || ' students') as note -- why figures are missing, or what to know
from figures as f
