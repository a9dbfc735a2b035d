"""Which unexplained answers of a course are searched."""

from __future__ import annotations

import pandas as pd

from pipeline.run.discover import MOST_OF_KIND, chosen_answers

ANSWERS = pd.DataFrame(
    [
        ("discriminant", f"x^2 + {b}x + 1 = 0", "real", str(value), f"n:{value}", f"s{student}", 1)
        for b in range(3, 15)
        for value in (7, 8)
        for student in range(b if value == 7 else 1)
    ],
    columns=["task", "problem", "numbers", "value", "value_key", "student", "answers"],
)


def test_the_fullest_questions_are_searched_for_what_several_students_gave() -> None:
    rows = chosen_answers(ANSWERS)["discriminant"]

    fullest = {f"x^2 + {b}x + 1 = 0" for b in range(15 - MOST_OF_KIND, 15)}
    assert set(rows["problem"]) == fullest
    assert set(rows["value"]) == {"7"}


def test_what_is_searched_depends_on_no_order() -> None:
    turned = chosen_answers(ANSWERS.sample(frac=1, random_state=1))["discriminant"]

    pd.testing.assert_frame_equal(chosen_answers(ANSWERS)["discriminant"], turned)


def test_two_questions_of_a_task_are_not_searched() -> None:
    assert chosen_answers(ANSWERS[ANSWERS["problem"].isin(ANSWERS["problem"].unique()[:2])]) == {}
