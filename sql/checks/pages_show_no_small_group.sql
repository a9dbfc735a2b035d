-- No figure of a page comes from fewer students than the limit.
with figures as (
    select 'own_error_by_topic_week' as page, students, rate as figure from main.own_error_by_topic_week
    union all
    select 'own_pattern_prevalence' as page, least(students, recent_students) as students, rate as figure from main.own_pattern_prevalence
    union all
    select 'own_error_by_section' as page, students, coalesce(standing, beside, rate::varchar) as figure from main.own_error_by_section
    union all
    select 'own_error_by_section_week' as page, students, rate as figure from main.own_error_by_section_week
    union all
    select 'own_wrong_by_section' as page, students, rate as figure from main.own_wrong_by_section
    union all
    select 'own_outcome_results' as page, students, share as figure from main.own_outcome_results
    union all
    select 'own_item_statistics' as page, students, difficulty as figure from main.own_item_statistics
    union all
    select 'own_wrong_by_topic_week' as page, students, rate as figure from main.own_wrong_by_topic_week
    union all
    select 'own_wrong_by_try' as page, students, rate as figure from main.own_wrong_by_try
    union all
    select 'own_learning_curve' as page, students, rate as figure from main.own_learning_curve
    union all
    select 'own_transition' as page, students, rate as figure from main.own_transition
    union all
    select 'own_quiz_score' as page, students, alpha as figure from main.own_quiz_score
    union all
    select 'own_option_share' as page, chosen as students, share as figure from main.own_option_share
    union all
    select 'own_term_change' as page, least(students_before, students_after) as students, difference as figure from main.own_term_change
    union all
    select 'own_question_change' as page, least(students_before, students_after) as students, difference as figure from main.own_question_change
    union all
    select 'own_term_series' as page, students, rate as figure from main.own_term_series
    union all
    select 'own_error_by_try' as page, students, rate as figure from main.own_error_by_try
    union all
    select 'own_outcome_by_try' as page, students, share as figure from main.own_outcome_by_try
    union all
    select 'own_learning_slope' as page, students, slope as figure from main.own_learning_slope
    union all
    select 'own_retry_change' as page, students, difference as figure from main.own_retry_change
)
select f.page, f.students
from figures as f
cross join store.course as c
where f.students < c.minimum_students or (f.students is null and f.figure is not null)
