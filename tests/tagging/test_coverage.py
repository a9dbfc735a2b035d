"""How much of the collected textbook exercises the catalogue serves: totals as a floor."""

from __future__ import annotations

from collections import Counter

from pipeline.exact.values import Number
from pipeline.records import Request
from pipeline.tagging.questions import question_of
from tests.calibration.coverage import PLACES, counts, exercises


def test_coverage_does_not_fall() -> None:
    total = sum(counts().values(), Counter())
    tagged, judged, neither = (total[place] for place in PLACES)

    assert tagged + judged + neither == 457
    assert tagged >= 421
    assert tagged + judged >= 443


def test_no_exercise_is_counted_twice() -> None:
    asked = Counter((e.book, e.section, e.name, e.request.problem) for e in exercises())

    assert [one for one, times in asked.items() if times > 1] == []


def test_printed_numbers_of_solutions_follow_from_our_discriminants() -> None:
    """OpenStax Elementary Algebra 2e 10.3, Intermediate 9.3, College 2.5: the printed answers."""
    told = {"1": 0, "2": 1, "no real solutions": -1, "2 complex solutions": -1, "Not real": -1,
            "1 real solution": 0, "Two real; rational": 1}  # fmt: skip
    checked = 0
    for exercise in exercises():
        if exercise.request.task == "judge" and exercise.request.key in told:
            asked = Request("discriminant", exercise.request.problem, "")
            right = question_of(asked).right
            assert right is not None
            assert isinstance(right.value, Number)
            assert right.value.surd is not None
            assert right.value.surd.real_sign() == told[exercise.request.key]
            checked += 1

    assert checked == 16
