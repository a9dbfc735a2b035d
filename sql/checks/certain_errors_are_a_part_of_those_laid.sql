-- Errors from answers that fit one known error alone are a part of all that are laid to it.
select p.term, p.setting, p.pattern as subject, p.certain_errors, p.expected_errors
from main.own_pattern_prevalence as p
where p.certain_errors > p.expected_errors
    or (p.certain_errors is null) <> (p.expected_errors is null)
