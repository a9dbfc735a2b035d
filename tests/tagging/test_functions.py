"""Functions: values beyond polynomials, solving for the input, and the errors of evaluating.

The kinds of question are those of OpenStax College Algebra 2e, 3.1, 3.4 and 3.7, with numbers of
our own, worked by hand.
"""

from __future__ import annotations

import pytest

from pipeline.records import Request, Verdict
from pipeline.tagging.examine import examine

RIGHT = """
f(x) = |x - 5|; f(2) | 3
f(x) = sqrt(x + 1); f(8) | f(8) = 3
f(x) = sqrt(x + 1); f(x + 3) | sqrt(x + 4)
f(x) = 2x + 1; f(4) | (4, 9)
f(x) = x^2; (f(x + h) - f(x))/h | 2x + h
f(x) = 3x^2 - x; (f(x + h) - f(x))/h | 6x + 3h - 1
f(x) = (x + 1)/(x - 2); f^-1(x) | y = (2x + 1)/(x - 1)
f(x) = x^3 + 1; f^-1(x) | (x - 1)^(1/3)
f(x) = 3x - 2; f(x) = 10 | x = 4
f(x) = x^2 - 5x; f(x) = -6 | 3 or 2
f(x) = |x - 5|; f(x) = 3 | 2, 8
f(x) = 2x + 1; g(x) = x - 3; f(x) = g(x) | -4
f(x) = 2x + 1; g(x) = x - 3; f(2) + g(5) | 7
f(x) = 2x + 1; g(x) = x - 3; f(x) - g(x) | x + 4
f(x) = 2x + 1; g(x) = x - 3; f(g(2)) | -1
f(x) = 2x + 1; f(f(2)) | 11
f(x) = 2x + 1; g(x) = x - 3; 3f(2) - g(1) | 17
f(x) = x^2 - 3; (f(5) - f(2))/(5 - 2) | 7
"""
SHOWN = [
    ("f(x) = 2x^2 - 3x + 1; f(3)", "28", "coefficient-raised-too"),
    ("f(x) = 3(x - 2) + 4; f(5)", "17", "multiplied-first-term-only"),
    ("f(x) = 2x - 3; g(x) = x + 4; f(g(x))", "2x + 1", "multiplied-first-term-only"),
    ("f(x) = x^2 + 1; g(x) = 3x; f(g(x))", "3x^2 + 1", "coefficient-left-out-of-power"),
    ("f(x) = 2x + 1; g(x) = x - 3; f(x) - g(x)", "x - 2", "function-subtracted-in-part"),
    ("f(x) = x^3 + 1; f^-1(x)", "cbrt(x + 1)", "constant-moved-same-sign"),
    ("f(x) = 3x - 2; f(x) = 10", "8/3", "constant-moved-same-sign"),
]


@pytest.mark.parametrize("line", RIGHT.strip().splitlines())
def test_right_in_any_notation(line: str) -> None:
    problem, answer = line.rsplit(" | ", 1)
    found = examine(Request("function", problem, answer))

    assert (found.verdict, found.patterns) == (Verdict.RIGHT, ()), found.reason


@pytest.mark.parametrize(("problem", "answer", "identifier"), SHOWN)
def test_errors_of_evaluating_are_known(problem: str, answer: str, identifier: str) -> None:
    found = examine(Request("function", problem, answer))

    assert (identifier,) in [one.faults for one in found.patterns]
