"""Answers in notations that their question alone makes clear: sets of pairs, lengths, half lines.

OpenStax Intermediate Algebra 2e, 4.1 prints the solution of a dependent system as a set of pairs;
OpenStax College Algebra 2e, 2.6 has equations with bars on both sides. Numbers are our own.
"""

from __future__ import annotations

import pytest

from pipeline.records import Request, Verdict
from pipeline.tagging.examine import examine

ONE_LINE = "3x - 2y = 6; 6x - 4y = 12"
RECTANGLE = "w(w + 4) = 96; keep w > 0; asked w, w + 4"
RIGHT = [
    (ONE_LINE, "{(x, y) | 3x - 2y = 6}"),
    (ONE_LINE, "{(x,y)|y=3/2x-3}"),
    (ONE_LINE, r"\{(x,y) \mid 3x-2y=6\}"),
    (RECTANGLE, "8 x 12"),
    (RECTANGLE, "8 ft × 12 ft"),
    ("|x - 2| = x - 2", "x >= 2"),
    ("|x - 2| = x - 2", "[2, ∞)"),
    ("|x - 2| = 2 - x", "x <= 2"),
    ("|x - 2| = |2 - x|", "all real numbers"),
]
WRONG = [
    (ONE_LINE, "{(x, y) | 3x - 2y = 5}"),
    (RECTANGLE, "8 x 11"),
    ("|x - 2| = x - 2", "x <= 2"),
]


@pytest.mark.parametrize(("problem", "answer"), RIGHT)
def test_right(problem: str, answer: str) -> None:
    found = examine(Request("solve", problem, answer))

    assert (found.verdict, found.patterns) == (Verdict.RIGHT, ())


@pytest.mark.parametrize(("problem", "answer"), WRONG)
def test_wrong(problem: str, answer: str) -> None:
    assert examine(Request("solve", problem, answer)).verdict is Verdict.WRONG
