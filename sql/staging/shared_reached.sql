-- Students by what everyone sees counted behind an outcome: whether the bar is met, of those with enough answers.
select
    t.term, e.outcome, md5_number_lower(e.student) as student,
    sum(e.correct) / sum(e.answered) >= o.bar - 1e-9 as met
from staging.outcome_evidence as e
inner join staging.shared_term as t on e.term = t.own_term
inner join staging.shared_bar as o on e.outcome = o.outcome
where e.declared and e.student is not null
group by t.term, e.outcome, e.student, o.bar, o.fewest
having sum(e.answered) >= o.fewest
