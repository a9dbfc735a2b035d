"""Several absolute values in one relation, against closed formulas and values put in."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.errors import CannotBeWorked
from pipeline.exact.numbers import Surd
from pipeline.exact.values import Interval, Number, Region
from pipeline.procedures.absolute_value import plan_by_cases
from pipeline.procedures.inequalities import between
from pipeline.procedures.questions import relation
from pipeline.procedures.symbolic_solving import solve_equation
from pipeline.procedures.walk import ALL_REAL, NO_SOLUTION, right_ending

_WHOLE = st.integers(-9, 9)


def _solved(text: str) -> object:
    plan = plan_by_cases(relation(text), "x")
    assert plan is not None
    return right_ending(plan)


def _numbers(*values: int | Fraction) -> frozenset[Surd]:
    return frozenset(map(Surd.of, values))


@given(_WHOLE, _WHOLE, st.integers(0, 30))
def test_two_distances_make_a_sum_as_the_closed_formula_says(a: int, b: int, c: int) -> None:
    """Distances from a and b add up to c at (a + b ± c)/2; closer than |a - b| they cannot."""
    found = _solved(f"|x - ({a})| + |x - ({b})| = {c}")

    if c > abs(a - b):
        assert found == _numbers(Fraction(a + b + c, 2), Fraction(a + b - c, 2))
    elif c < abs(a - b):
        assert found == NO_SOLUTION
    else:
        low, high = (Number.exactly(Surd.of(one)) for one in (min(a, b), max(a, b)))
        expected = _numbers(a) if a == b else Region((Interval(low, high, False, False),))
        assert found == expected


@pytest.mark.parametrize(
    ("text", "values"),
    [
        ("|x - 1| * |x - 2| * |x - 3| = 6", (0, 4)),
        ("|x - 1| * |x - 2| = 6", (-1, 4)),
        ("||x - 1| - 2| = 3", (-4, 6)),
        ("|x - 1|/|x + 2| = 3", (Fraction(-7, 2), Fraction(-5, 4))),
        ("|x| + |x - 1| + |x - 2| = 9", (-2, 4)),
        ("|x^2 - 4| + |x - 3| = 5", (-2, 1, 3)),
    ],
)
def test_roots_worked_case_by_case_by_hand(text: str, values: tuple[int | Fraction, ...]) -> None:
    assert _solved(text) == _numbers(*values)


@pytest.mark.parametrize(
    ("text", "region"),
    [
        ("|x - 1| + |x - 2| < 5", (-1, 4, True)),
        ("|x - 1| * |x - 2| <= 6", (-1, 4, False)),
    ],
)
def test_regions_worked_case_by_case_by_hand(text: str, region: tuple[int, int, bool]) -> None:
    low, high, is_open = region

    assert _solved(text) == between(Surd.of(low), Surd.of(high), is_open)


def test_what_holds_everywhere_or_nowhere_is_said() -> None:
    assert _solved("|x - 1| + |x - 2| > 0") == ALL_REAL
    assert _solved("|x - 1| + |x - 2| < 1") == NO_SOLUTION


def test_cases_without_a_closed_form_are_refused_with_the_way_out() -> None:
    """(x - 1)(x - 2)(x + 3) = -6 has one real root, and that is no root of a number."""
    with pytest.raises(CannotBeWorked, match="with the right answer beside the question"):
        solve_equation(relation("|x - 1| * |x - 2| * |x + 3| = 6"), "x", "real")
