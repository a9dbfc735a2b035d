"""What is left in factors: an equation stands for its solutions, the factors alone do not."""

from __future__ import annotations

import pytest

from pipeline.records import Request, Verdict
from pipeline.tagging.examine import examine


@pytest.mark.parametrize("answer", ["(x - 3)(x + 2) = 0", "(x+2)(x-3)=0"])
def test_a_factored_equation_is_the_solution_in_another_form(answer: str) -> None:
    found = examine(Request("solve", "x^2 - x - 6 = 0", answer))

    assert found.verdict is Verdict.RIGHT_OTHER_FORM
    assert found.reason == "the solutions were expected, not the factored equation"
    assert found.patterns == ()


def test_against_a_key_alone_it_is_read_as_its_solutions() -> None:
    assert examine(Request("compare", "", "(x-3)(x+2)=0", key="3, -2")).verdict is Verdict.RIGHT


@pytest.mark.parametrize("letter", "xtn")
def test_factors_without_an_equation_stop_too_early(letter: str) -> None:
    problem = f"{letter}^2 - {letter} - 6 = 0"
    found = examine(Request("solve", problem, f"({letter} - 3)({letter} + 2)"))

    assert found.patterns[0].faults == ("stopped-at-factors",)


def test_wrong_factors_are_not_called_a_stop() -> None:
    found = examine(Request("solve", "x^2 - x - 6 = 0", "(x + 3)(x - 2)"))

    assert ("stopped-at-factors",) not in [one.faults for one in found.patterns]
