"""Lately is the last two weeks of a setting, and chances count where the error shows."""

from __future__ import annotations

import pandas as pd
import pytest

from pipeline.statistics.recent import last_weeks, recent_rates
from pipeline.statistics.showings import where_seen


def answers(weeks: dict[str, list[int | None]]) -> pd.DataFrame:
    rows = [("t", setting, week) for setting, all_weeks in weeks.items() for week in all_weeks]
    return pd.DataFrame(rows, columns=["term", "setting", "week"])


@pytest.mark.parametrize(
    ("weeks", "kept"),
    [
        ({"practice": [12, 13, 14], "exam": [15]}, {"practice": {13, 14}, "exam": {15}}),
        ({"practice": [3, 8], "quiz": [1, 2, 9]}, {"practice": {3, 8}, "quiz": {2, 9}}),
        ({"practice": [None, 4, 5, 6]}, {"practice": {5, 6}}),
    ],
)
def test_lately_is_the_last_two_weeks_with_answers_of_each_setting(
    weeks: dict[str, list[int | None]], kept: dict[str, set[int]]
) -> None:
    found = last_weeks(answers(weeks))

    assert {name: set(part["week"]) for name, part in found.groupby("setting")} == kept


def test_where_no_answer_has_a_week_all_are_lately() -> None:
    assert len(last_weeks(answers({"quiz": [None, None]}))) == 2


def chances(asked: dict[str, tuple[int, float, int]]) -> pd.DataFrame:
    """Rows of one error: question -> tries, answers laid to it, week."""
    rows = [
        ("t", "quiz", "e", student, question, week, float(student < laid))
        for question, (tries, laid, week) in asked.items()
        for student in range(tries)
    ]
    columns = ["term", "setting", "pattern", "student", "question", "week", "shown"]
    return pd.DataFrame(rows, columns=columns)


@pytest.mark.parametrize(
    ("asked", "counted"),
    [
        ({"shows": (100, 20, 1), "theory": (100, 0, 1)}, {"shows"}),
        ({"shows": (100, 20, 1), "few": (10, 0, 1)}, {"shows", "few"}),  # .8^10 = .11
        ({"shows": (100, 2, 1), "rare": (100, 0, 1)}, {"shows", "rare"}),  # .98^100 = .13
        ({"a": (100, 0, 1), "b": (100, 0, 1)}, {"a", "b"}),
    ],
)
def test_a_question_counts_unless_it_would_hardly_have_spared_the_error(
    asked: dict[str, tuple[int, float, int]], counted: set[str]
) -> None:
    assert set(where_seen(chances(asked))["question"]) == counted


def rates(opportunities: int, rate: float) -> pd.DataFrame:
    return pd.DataFrame(
        {
            "term": ["t"], "setting": ["quiz"], "pattern": ["e"], "members": [["e"]],
            "students": [100], "opportunities": [opportunities], "rate": [rate],
            "rate_low": [rate / 2], "rate_high": [rate * 2],
        }
    )  # fmt: skip


def test_questions_that_show_it_in_theory_alone_dilute_no_rate() -> None:
    """Twenty of two hundred answers, all of them at the one question that shows the error."""
    asked = chances({"shows": (100, 20, 4), "theory": (100, 0, 5)})
    late = asked[["term", "setting", "week", "student"]]
    found = recent_rates(rates(200, 0.1), rates(200, 0.1), late, where_seen(asked)).iloc[0]

    assert (found["rate"], found["rate_low"], found["rate_high"]) == pytest.approx((0.2, 0.1, 0.4))
    assert (found["opportunities"], found["usual_chances"]) == (100, 1.0)


def test_an_error_that_was_not_asked_lately_keeps_the_rate_of_the_term() -> None:
    asked = chances({"shows": (100, 20, 1)})
    late = pd.DataFrame({"term": "t", "setting": "quiz", "week": [4, 5], "student": [1, 2]})
    found = recent_rates(rates(100, 0.2), pd.DataFrame(), late, where_seen(asked)).iloc[0]

    assert not found["lately"]
    assert found["rate"] == pytest.approx(0.2)
    assert (found["recent_from"], found["recent_to"], found["class_students"]) == (4, 5, 2)
