"""Questions that offer numbers, and questions for one coordinate of a vertex."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.records import Request, Verdict
from pipeline.tagging.examine import examine

SOME = st.lists(st.integers(-9, 9), min_size=2, max_size=6, unique=True)


@given(st.integers(1, 9), st.integers(-9, 9), st.integers(-30, 30), SOME)
@settings(max_examples=30)
def test_the_right_numbers_are_those_that_hold(a: int, b: int, c: int, some: list[int]) -> None:
    listed = ", ".join(map(str, some))
    holding = [one for one in some if a * one + b > c]
    problem = f"{a}x + ({b}) > {c}; choose from {listed}"
    found = examine(Request("solve", problem, ", ".join(map(str, holding)) or "0"))

    assert found.verdict is (Verdict.RIGHT if holding else Verdict.NO_KEY)
    assert found.patterns == ()


def test_the_whole_solution_set_is_another_form() -> None:
    found = examine(Request("solve", "4x + 3 > 11; choose from 0, 1, 2, 3", "x > 2"))

    assert found.verdict is Verdict.RIGHT_OTHER_FORM


@pytest.mark.parametrize(
    ("asked", "answer"),
    [
        ("axis of symmetry of", "x = 2"),
        ("find the axis of symmetry of", "2"),
        ("the minimum value of", "3"),
        ("minimum of", "y = 3"),
        ("find the vertex of", "(2, 3)"),
        ("vertex of", "(2, 3)"),
    ],
)
def test_a_question_for_one_coordinate_is_judged_by_it(asked: str, answer: str) -> None:
    found = examine(Request("vertex", f"{asked} f(x) = x^2 - 4x + 7", answer))

    assert found.verdict is Verdict.RIGHT
    assert found.patterns == ()


@pytest.mark.parametrize("asked", ["conjugate of", "find the complex conjugate of"])
def test_a_conjugate_is_judged_as_one(asked: str) -> None:
    assert examine(Request("simplify", f"{asked} 2 - 5i", "2 + 5i")).verdict is Verdict.RIGHT
    assert examine(Request("simplify", f"{asked} 2 - 5i", "2 - 5i")).verdict is Verdict.WRONG
