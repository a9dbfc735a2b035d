-- Share right on one question beside the share right on the student's other questions.
with by_item as (
    select
        j.term, j.setting, j.item, j.student,
        avg(1 - j.wrong) as correct
    from staging.judged as j
    group by all
),
with_rest as (
    select
        b.term, b.setting, b.item, b.student, b.correct,
        sum(b.correct) over student_all - b.correct as rest_sum,
        count(*) over student_all - 1 as rest_count
    from by_item as b
    window student_all as (partition by b.term, b.setting, b.student)
)
select
    w.term, w.setting, w.item,
    count(*)::integer as students,
    count(*)::integer as answers,
    sum(w.correct)::integer as right_answers,
    count(*) filter (where w.rest_count > 0)::integer as pairs,
    case
        when stddev_pop(w.correct) filter (where w.rest_count > 0) > 0
            and stddev_pop(w.rest_sum / nullif(w.rest_count, 0)) filter (where w.rest_count > 0) > 0
            then corr(w.correct, w.rest_sum / w.rest_count) filter (where w.rest_count > 0)
    end as item_rest
from with_rest as w
group by all
