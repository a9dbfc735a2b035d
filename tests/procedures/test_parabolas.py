"""The function that a vertex is asked of, whatever it is called and on whichever side it stands."""

from __future__ import annotations

import pytest

from pipeline.records import Request, Verdict
from pipeline.tagging.examine import examine


@pytest.mark.parametrize("name", "abcdefghijklmnopqrstuvwyzACEHKNPQS")
def test_any_letter_can_name_the_function(name: str) -> None:
    found = examine(Request("vertex", f"{name}(x) = (x - 3)^2 + 2", "(-3, 2)"))

    assert found.patterns[0].faults == ("vertex-sign-kept",)


@pytest.mark.parametrize(
    "problem",
    [
        "y = x^2 - 4x + 7",
        "x^2 - 4x + 7 = k(x)",
        "r(q) = q^2 - 4q + 7",
        "y(t) = t^2 - 4t + 7",
        "y - 3 = (x - 2)^2",
        "y + 4x = x^2 + 7",
        "2y = 2(x - 2)^2 + 6",
        "x^2 - 4x + 7",
    ],
)
def test_the_vertex_is_that_of_the_whole_function(problem: str) -> None:
    assert examine(Request("vertex", problem, "(2, 3)")).verdict is Verdict.RIGHT


@pytest.mark.parametrize("problem", ["x = y^2 - 4y + 7", "k(x) = k", "y = a x^2 + 1", "y = x^3"])
def test_another_curve_is_not_judged(problem: str) -> None:
    found = examine(Request("vertex", problem, "(2, 3)"))

    assert found.verdict is Verdict.NO_KEY
    assert found.patterns == ()
