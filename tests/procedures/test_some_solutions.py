"""Some of the solutions, or what is made of them; the sums and products by Vieta's formulas."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.errors import UnreadableProblem
from pipeline.exact.values import value_words
from pipeline.records import Request
from pipeline.tagging.questions import question_of
from pipeline.tasks.catalogue import read_problem, solved


def right(problem: str) -> str | None:
    answer = solved(read_problem(problem), "real").answer
    return None if answer is None else value_words(answer.value)


@pytest.mark.parametrize(
    ("problem", "expected"),
    [
        ("x^2 - 5x + 6 = 0; keep largest", "3"),
        ("x^2 - 2x - 2 = 0; keep smallest", "1 − √3"),
        ("|x - 3| = 5; keep smallest", "−2"),
        ("x^3 = 4x; keep largest; asked x^2", "4"),
        ("x^2 = 5x; keep x != 0", "5"),
        ("x + 9 = 2; asked |x|", "7"),
        ("4x = 12; asked 1/x", "1/3"),
        ("2x + y = 8; x - y = 1; asked y", "2"),
        ("x + y = 10; x - y = 4; asked x + y", "10"),
        ("4x + 5y = 20; x = 0; asked y", "4"),
    ],
)
def test_what_is_kept_and_asked_is_the_right_answer(problem: str, expected: str) -> None:
    assert right(problem) == expected


@pytest.mark.parametrize(
    "problem",
    [
        "x^2 - 6x + 9 = 0; asked sum",  # 3 or, counted twice, 6
        "x^2 + 4 = 0; keep largest",
        "2x = 0; asked 1/x",
        "2x + y = 8; x - y = 1; keep largest",
    ],
)
def test_nothing_is_right_where_it_cannot_be_told(problem: str) -> None:
    assert right(problem) is None


def test_what_is_kept_is_an_inequality_or_a_known_word() -> None:
    with pytest.raises(UnreadableProblem, match="`largest` or `smallest`"):
        read_problem("x^2 = 4; keep 2x")


@given(
    a=st.integers(1, 6),
    roots=st.tuples(st.integers(-9, 9), st.integers(-9, 9)).filter(lambda pair: len(set(pair)) > 1),
)
def test_sum_and_product_are_those_of_the_coefficients(a: int, roots: tuple[int, int]) -> None:
    """Vieta's formulas: -b/a and c/a, whatever the roots."""
    b, c = -a * sum(roots), a * roots[0] * roots[1]
    equation = f"{a}x^2 + ({b})x + ({c}) = 0"

    found = [right(f"{equation}; asked {joined}") for joined in ("sum", "product")]

    assert found == [str(Fraction(-b, a)).replace("-", "−"), str(Fraction(c, a)).replace("-", "−")]


def test_the_point_of_a_system_tells_a_coordinate_in_another_form() -> None:
    request = Request("solve", "4x + 5y = 20", "", asked=None)
    told = question_of(Request("solve", "4x + 5y = 20; x = 0; asked y", "")).right

    assert question_of(request).right is not None
    assert told is not None
    assert [value_words(one) for one in told.other_form] == ["(0, 4)"]
