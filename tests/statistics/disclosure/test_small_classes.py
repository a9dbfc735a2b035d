"""How many of ten planted errors each edition can show; all figures: `small_classes`."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.calibration.small_classes import seen_in_each_edition

pytestmark = pytest.mark.thorough

FEWEST = {18: (9, 0), 30: (9, 2), 120: (10, 7)}
"""Planted errors seen in the own edition over the term, and in percent by everyone, at least."""


@pytest.mark.parametrize("students", FEWEST)
def test_small_classes_still_show_errors(students: int, tmp_path: Path) -> None:
    seen = seen_in_each_edition(tmp_path, students)
    own, shared = seen["own, over the term"], seen["for everyone, in percent"]

    assert (len(own) >= FEWEST[students][0], len(shared) >= FEWEST[students][1]) == (True, True)
    assert set(seen["own, by topic and week"]) <= set(own)
    assert set(shared) <= set(own)


def test_everyone_sees_no_error_of_fewer_students_than_the_limit(tmp_path: Path) -> None:
    """Of 18 students, an error of 15 % of chances is held by about four."""
    seen = seen_in_each_edition(tmp_path, 18)
    printed = {name for kind, names in seen.items() if "in percent" in kind for name in names}

    assert not printed & {"planted-03", "planted-05", "planted-07", "planted-10", "planted-15"}
