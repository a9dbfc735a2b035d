"""Lately is the last two weeks of a setting, and chances count where the error shows."""

from __future__ import annotations

from dataclasses import replace

import pandas as pd
import pytest

from pipeline.statistics.compute import CELL
from pipeline.statistics.observed import last_weeks, recent_rates
from pipeline.statistics.patterns import pattern_totals
from pipeline.statistics.showings import where_seen
from pipeline.tagging.attribute import estimate
from pipeline.tagging.evidence import Evidence, gather


def answers(weeks: dict[str, list[int | None]]) -> pd.DataFrame:
    rows = [("t", setting, week) for setting, all_weeks in weeks.items() for week in all_weeks]
    return pd.DataFrame(rows, columns=["term", "setting", "week"])


@pytest.mark.parametrize(
    ("weeks", "kept"),
    [
        ({"practice": [12, 13, 14], "exam": [15]}, {"practice": {13, 14}, "exam": {15}}),
        ({"practice": [3, 8], "quiz": [1, 2, 9]}, {"practice": {3, 8}, "quiz": {2, 9}}),
        ({"practice": [None, 4, 5, 6]}, {"practice": {5, 6}}),
        (
            {"practice": [*[12] * 40, *[13] * 40, *[14] * 40, 15, 16]},
            {"practice": {13, 14, 15, 16}},
        ),
    ],
)
def test_lately_is_the_last_two_weeks_with_answers_of_each_setting(
    weeks: dict[str, list[int | None]], kept: dict[str, set[int]]
) -> None:
    found = last_weeks(answers(weeks))

    assert {name: set(part["week"]) for name, part in found.groupby("setting")} == kept


def test_where_no_answer_has_a_week_all_are_lately() -> None:
    assert len(last_weeks(answers({"quiz": [None, None]}))) == 2


def evidence_of(asked: dict[str, tuple[int, int]], unusual: str = "") -> Evidence:
    """One error `e` that each question can show: question -> tries, answers that it leads to.

    One question may show it by an unusual method, a tenth as likely.
    """
    number = {question: at for at, question in enumerate(asked)}
    rows = [
        ("t", "quiz", "topic", student, question, number[question], student < came)
        for question, (tries, came) in asked.items()
        for student in range(tries)
    ]
    columns = ["term", "setting", "topic", "student", "item", "question", "wrong"]
    answers = pd.DataFrame(rows, columns=columns)
    answers = answers.assign(
        wrong=answers["wrong"].astype(int), examined=answers["question"], value_key="v",
        answered_at=answers["question"], week=1, response=range(len(answers)),
    )  # fmt: skip
    every = list(number.values())
    weights = [0.1 if question == unusual else 1.0 for question in asked]
    return gather(
        answers,
        pd.DataFrame({"examined": every, "faults": [["e"]] * len(every), "pattern": "e",
                      "weight": weights, "general": False}),
        pd.DataFrame({"question": every, "value_key": "v", "pattern": "e", "weight": weights}),
        pd.DataFrame({"pattern": ["e"], "position": [1], "general": [False]}),
    )  # fmt: skip


def seen_of(evidence: Evidence) -> Evidence:
    """The same after the class was looked at."""
    cells = list(estimate(evidence, CELL))
    shares = pd.DataFrame({"term": "t", "setting": "quiz", "topic": "topic",
                           "examined": range(len(evidence.questions)), "pattern": "e",
                           "share": 1.0})  # fmt: skip
    return replace(evidence, seen=where_seen(evidence, shares, cells))


@pytest.mark.parametrize(
    ("asked", "counted"),
    [
        ({"shows": (100, 20), "theory": (100, 0)}, {"shows"}),
        ({"shows": (100, 20), "few": (10, 0)}, {"shows", "few"}),  # .8^10 = .11
        ({"shows": (100, 2), "rare": (100, 0)}, {"shows", "rare"}),  # .98^100 = .13
        ({"a": (100, 0), "b": (100, 0)}, {"a", "b"}),
    ],
)
def test_a_question_counts_unless_it_would_hardly_have_spared_the_error(
    asked: dict[str, tuple[int, int]], counted: set[str]
) -> None:
    seen = seen_of(evidence_of(asked)).seen[:, 0]

    assert {question for question, counts in zip(asked, seen, strict=True) if counts} == counted


@pytest.mark.parametrize(
    ("came", "counted"), [(0, {"shows"}), (1, {"shows"}), (20, {"shows", "unusual"})]
)
def test_a_question_that_shows_it_by_an_unusual_method_counts_where_many_went_that_way(
    came: int, counted: set[str]
) -> None:
    """Few answered it, so that another question would stay."""
    asked = {"shows": (100, 20), "unusual": (100 if came else 5, came)}
    seen = seen_of(evidence_of(asked, "unusual")).seen[:, 0]

    assert {question for question, counts in zip(asked, seen, strict=True) if counts} == counted


def test_right_answers_where_an_unusual_method_alone_shows_it_hardly_speak_against_it() -> None:
    """Twenty of a hundred, and another hundred who would have shown it in one of ten cases."""
    asked = {"shows": (100, 20), "unusual": (100, 0)}
    evidence = seen_of(evidence_of(asked, "unusual"))
    found = pattern_totals(evidence, list(estimate(evidence, CELL))).iloc[0]

    assert found["opportunities"] == 100
    assert found["rate"] == pytest.approx(0.2, abs=0.025)
    assert found["rate_low"] < 0.2 < found["rate_high"]


def test_questions_that_show_it_in_theory_alone_dilute_no_rate() -> None:
    """Twenty of two hundred answers, all of them at the one question that shows the error."""
    evidence = evidence_of({"shows": (100, 20), "theory": (100, 0)})
    before, after = (
        pattern_totals(one, list(estimate(one, CELL))).iloc[0]
        for one in (evidence, seen_of(evidence))
    )

    assert (before["opportunities"], after["opportunities"], after["students"]) == (200, 100, 100)
    assert before["rate"] == pytest.approx(0.1, abs=0.005)
    for name in ("rate", "rate_low"):
        assert after[name] == pytest.approx(2 * before[name], rel=0.1)
    assert after["rate_low"] < 0.2 < after["rate_high"]


def rates(rate: float) -> pd.DataFrame:
    return pd.DataFrame(
        {
            "term": ["t"], "setting": ["quiz"], "pattern": ["e"], "members": [["e"]],
            "students": [50], "opportunities": [100], "rate": [rate],
            "rate_low": [rate / 2], "rate_high": [rate * 2],
        }
    )  # fmt: skip


LATE = pd.DataFrame({"term": "t", "setting": "quiz", "week": [4, 5], "student": [1, 2]})


@pytest.mark.parametrize(
    ("lately", "expected"), [(rates(0.3), (True, 0.3)), (pd.DataFrame(), (False, 0.2))]
)
def test_an_error_that_was_not_asked_lately_keeps_the_rate_of_the_term(
    lately: pd.DataFrame, expected: tuple[bool, float]
) -> None:
    found = recent_rates(rates(0.2), lately, LATE).iloc[0]

    assert (found["lately"], found["rate"]) == expected
    assert (found["recent_from"], found["recent_to"], found["class_students"]) == (4, 5, 2)
    assert found["usual_chances"] == 2.0
