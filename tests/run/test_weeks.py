"""A course over its first weeks: one map, then runs alone; the eight weeks are a command."""

from __future__ import annotations

from pathlib import Path

import pytest

from pipeline.run import run_course
from tests.calibration.eight_weeks import Course, play
from tests.run.disturbed import without_figures

pytestmark = pytest.mark.thorough


@without_figures()
def test_weeks_add_up_and_each_summary_says_what_was_new(tmp_path: Path) -> None:
    def run(folder: Path) -> tuple[int, str, float]:
        summary = run_course(folder)
        return int(summary.exit_code), "\n".join(summary.lines()), 0.0

    course = Course(tmp_path / "algebra")
    course.begin()
    weeks = [week.number for week in play(course, run, last=4)]

    assert weeks == [1, 2, 3, 4]
