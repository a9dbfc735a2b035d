"""Errors with slopes."""

from __future__ import annotations

from pipeline.exact.numbers import Surd
from pipeline.patterns.registry import instead_of, pattern
from pipeline.patterns.signs_of_products import minus_of_negative_stays_minus
from pipeline.patterns.systems import term_moved_same_sign
from pipeline.procedures.lines import (
    SLOPE,
    Points,
    divide_rise,
    read_slope,
    rise,
    run,
    within_points,
)
from pipeline.procedures.statements import NO_SOLUTION
from pipeline.procedures.systems import Row, isolate_letter

_SKILL = "lines"


@pattern(
    "slope-upside-down",
    skill=_SKILL,
    source="common practice",
    shows=(
        "slope | (1, 2), (3, 8) | 1/3",
        "slope | 2x + 3y = 6 | -3/2",
        "line | through (1, 2), (3, 8) | y = (1/3)x + 5/3",
    ),
    silent=(
        "slope | (1, 2), (3, 8) | 3",
        "slope | (1, 2), (3, 8) | -1/3",
    ),
)
@instead_of(divide_rise, SLOPE)
def slope_upside_down(up: Surd, along: Surd) -> Surd:
    """Divides run by rise."""
    return along / up


@slope_upside_down.also(isolate_letter, SLOPE)
def _inverted_when_solved(row: Row) -> tuple[Surd, Surd]:
    return -row.b / row.a, row.c


@pattern(
    "points-subtracted-in-different-order",
    skill=_SKILL,
    source="common practice",
    shows=(
        "slope | (1, 2), (3, 8) | -3",
        "line | through (1, 2), (3, 8) | y = -3x + 5",
    ),
    silent=(
        "slope | (1, 2), (3, 8) | 3",
        "slope | 2x + 3y = 6 | 2/3",
    ),
)
@instead_of(rise, SLOPE)
def points_subtracted_in_different_order(first: Surd, second: Surd) -> Surd:
    """Subtracts the y-coordinates in one order and the x-coordinates in the other."""
    return first - second


@pattern(
    "coordinates-added-for-slope",
    skill=_SKILL,
    source="common practice",
    shows=(
        "slope | (1, 2), (3, 8) | 5/2",
        "slope | (2, 5), (4, 1) | 1",
    ),
    silent=(
        "slope | (1, 2), (3, 8) | 3",
        "slope | (1, 2), (3, 8) | 10",
    ),
)
@instead_of(within_points, SLOPE)
def coordinates_added_for_slope(points: Points) -> Surd | None:
    """Adds the coordinates where they are to be subtracted."""
    return (points.y1 + points.y2) / (points.x1 + points.x2)


@pattern(
    "rise-given-as-slope",
    skill=_SKILL,
    source="common practice",
    shows=(
        "slope | (1, 2), (3, 8) | 6",
        "slope | (2, 5), (6, 1) | -4",
    ),
    silent=(
        "slope | (1, 2), (3, 8) | 3",
        "slope | (1, 2), (3, 8) | 2",
    ),
)
@instead_of(divide_rise, SLOPE)
def rise_given_as_slope(up: Surd, along: Surd) -> Surd | None:
    """Gives the change of y and does not divide by the change of x."""
    return up if along else None


@pattern(
    "zero-and-undefined-slope-swapped",
    skill=_SKILL,
    source="common practice",
    shows=(
        "slope | (1, 2), (5, 2) | undefined",
        "slope | (3, 1), (3, 6) | 0",
    ),
    silent=(
        "slope | (1, 2), (5, 2) | 0",
        "slope | (1, 2), (5, 3) | 0",
    ),
)
@instead_of(divide_rise, SLOPE)
def zero_and_undefined_slope_swapped(up: Surd, along: Surd) -> Surd | str | None:
    """Takes the slope of a horizontal line for that of a vertical one, or the reverse."""
    if not along:
        return Surd.of(0)
    return None if up else NO_SOLUTION


@minus_of_negative_stays_minus.also(
    rise,
    SLOPE,
    shows=(
        "slope | (1, -2), (3, 8) | 3",
        "slope | (2, -5), (3, 1) | -4",
    ),
    silent=("slope | (1, -2), (3, 8) | 5",),
)
def _negative_subtracted(first: Surd, second: Surd) -> Surd | None:
    return second + first if first.real_sign() < 0 else None


@minus_of_negative_stays_minus.also(run, SLOPE)
def _negative_subtracted_along(first: Surd, second: Surd) -> Surd | None:
    return second + first if first.real_sign() < 0 else None


@pattern(
    "coefficient-of-x-read-as-slope",
    skill=_SKILL,
    source="common practice",
    shows=(
        "slope | 2x + 3y = 6 | 2",
        "slope | 5x - 2y = 8 | 5",
    ),
    silent=(
        "slope | 2x + 3y = 6 | -2/3",
        "slope | y = 2x + 3 | 3",
    ),
)
@instead_of(read_slope, SLOPE)
def coefficient_of_x_read_as_slope(row: Row, solved: bool) -> Surd | None:
    """Reads the number before x as the slope although the equation is not solved for y."""
    return None if solved else row.a


@pattern(
    "intercept-read-as-slope",
    skill=_SKILL,
    source="common practice",
    shows=(
        "slope | y = 2x + 3 | 3",
        "slope | 2x + 3y = 6 | 2",
    ),
    silent=(
        "slope | y = 2x + 3 | 2",
        "slope | y = 2x | 1",
    ),
)
@instead_of(read_slope, SLOPE)
def intercept_read_as_slope(row: Row, solved: bool) -> Surd | None:
    """Gives the y-intercept in place of the slope."""
    return row.c / row.b if row.c else None


@term_moved_same_sign.also(
    isolate_letter,
    SLOPE,
    shows=(
        "slope | 2x + 3y = 6 | 2/3",
        "slope | 5x - 2y = 8 | -5/2",
    ),
    silent=("slope | 2x + 3y = 6 | -2/3",),
)
def _moved_with_its_sign(row: Row) -> tuple[Surd, Surd] | None:
    return (row.a / row.b, row.c / row.b) if row.a else None
