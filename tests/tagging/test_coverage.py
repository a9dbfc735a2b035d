"""How much of the collected textbook exercises the catalogue serves: totals as a floor."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import pytest

from pipeline.records import Verdict
from pipeline.tagging.examine import examine
from tests.calibration.coverage import PLACES, counts, exercises


@pytest.mark.thorough
def test_coverage_does_not_fall() -> None:
    total = sum(counts().values(), Counter())
    tagged, judged, neither = (total[place] for place in PLACES)

    assert tagged + judged + neither == 457
    assert tagged >= 437
    assert tagged + judged >= 443


def test_no_exercise_is_counted_twice() -> None:
    asked = Counter((e.book, e.section, e.name, e.request.problem) for e in exercises())

    assert [one for one, times in asked.items() if times > 1] == []


def test_printed_numbers_of_solutions_are_right() -> None:
    """OpenStax Elementary Algebra 2e 10.3, Intermediate 9.3, College 2.5: the printed answers."""
    verdicts = Counter(
        examine(replace(one.request, answer=str(one.request.key), key=None)).verdict
        for one in exercises()
        if one.request.task == "number-of-solutions"
    )

    # "Not real" tells the kind alone.
    assert verdicts == {Verdict.RIGHT: 15, Verdict.RIGHT_OTHER_FORM: 1}
