"""The order of the next lesson, beside the one that the weeks before the latest give."""

from __future__ import annotations

from dataclasses import replace

import pandas as pd
import pytest

from pipeline.statistics.lesson_order import CELL, coming_back, lesson_order, with_order_before
from pipeline.statistics.next_lesson import now
from pipeline.statistics.patterns import pattern_totals
from pipeline.tagging.attribute import estimate
from pipeline.tagging.evidence import Evidence, gather

STUDENTS = 60
ERRORS = ("e", "f", "g", "h")


def evidence_of(weeks: dict[int, dict[str, int]], students: int = STUDENTS) -> Evidence:
    """Week -> error -> answers that show it; each week asks one question for each error."""
    rows = [
        ("t", "quiz", "topic", week, student, f"{error}{week}", ERRORS.index(error),
         student < came, pd.Timestamp("2026-01-01") + pd.Timedelta(weeks=week))
        for week, errors in weeks.items()
        for error, came in errors.items()
        for student in range(students)
    ]  # fmt: skip
    names = ["term", "setting", "topic", "week", "student", "item", "question", "wrong",
             "answered_at"]  # fmt: skip
    answers = pd.DataFrame(rows, columns=names)
    answers = answers.assign(
        wrong=answers["wrong"].astype(int), examined=answers["question"], value_key="v",
        response=range(len(answers)),
    )  # fmt: skip
    every = range(len(ERRORS))
    return gather(
        answers,
        pd.DataFrame({"examined": every, "faults": [[one] for one in ERRORS], "pattern": ERRORS,
                      "weight": 1.0, "general": False}),
        pd.DataFrame({"question": every, "value_key": "v", "pattern": ERRORS, "weight": 1.0}),
        pd.DataFrame({"pattern": ERRORS, "position": every, "general": False}),
    )  # fmt: skip


def order(
    weeks: dict[int, dict[str, int]], students: int = STUDENTS, late: int = STUDENTS
) -> pd.DataFrame:
    """The order of all weeks; so many students answered in the latest one."""
    evidence = evidence_of(weeks, students)
    chances = evidence.opportunities
    kept = (chances["week"] < max(weeks)) | (chances["student"] < late)
    evidence = replace(evidence, opportunities=chances[kept].reset_index(drop=True))
    tables = {
        "store.topic": pd.DataFrame({"topic": ["topic"], "weight": [1.0]}),
        "store.item": pd.DataFrame(
            {"item": ["e1"], "topic": ["topic"], "week": [1], "position": [1]}
        ),
        "store.pattern": pd.DataFrame({"pattern": ERRORS, "general": False}),
        "store.course": pd.DataFrame({"minimum_students": [10]}),
    }
    shares = pd.DataFrame({"term": "t", "setting": "quiz", "topic": "topic",
                           "examined": range(len(ERRORS)), "pattern": ERRORS,
                           "share": 1.0})  # fmt: skip
    pooled = list(estimate(evidence, CELL))
    held, _ = coming_back(evidence, shares, pooled)
    totals = pattern_totals(evidence, pooled)
    today = now(evidence.opportunities, ["t"])
    ranking = lesson_order(tables.__getitem__, evidence, pooled, (totals, held), today)
    ranked = with_order_before(tables.__getitem__, evidence, pooled, shares, ranking)
    return ranked.set_index("pattern")


def test_a_week_that_changes_nothing_leaves_the_order() -> None:
    same = {"e": 30, "f": 20, "g": 10}
    found = order({1: same, 2: same, 3: same})

    assert found["rank"].to_dict() == {"e": 1, "f": 2, "g": 3}
    assert found["rank_before"].to_dict() == {"e": 1, "f": 2, "g": 3}


def test_an_error_that_the_latest_week_brought_has_moved_up() -> None:
    before = {"e": 30, "f": 20, "g": 10}
    found = order({1: before, 2: before, 3: {"e": 2, "f": 20, "g": 50}})

    assert found["rank_before"].to_dict() == {"e": 1, "f": 2, "g": 3}
    assert found["rank"].idxmin() == "g"


def test_an_error_that_was_not_asked_before_had_no_place() -> None:
    found = order({1: {"e": 30, "f": 20}, 2: {"e": 30, "f": 20, "h": 40}})

    assert found["rank_before"].dropna().to_dict() == {"e": 1, "f": 2}


def test_in_the_first_week_there_is_no_order_before() -> None:
    assert "rank_before" not in order({1: {"e": 30, "f": 20}})


@pytest.mark.parametrize(("students", "placed"), [(9, 0), (10, 2)])
def test_a_place_that_rests_on_few_students_is_none(students: int, placed: int) -> None:
    week = {"e": 6, "f": 3}
    found = order({1: week, 2: week}, students)

    assert found.get("rank_before", pd.Series(dtype=float)).count() == placed


def test_a_latest_week_of_few_students_moves_nothing_that_is_told() -> None:
    week = {"e": 6, "f": 3}

    assert order({1: week, 2: week}, 12)["rank_before"].count() == 2
    assert order({1: week, 2: week}, 12, late=9).get("rank_before", pd.Series()).count() == 0
