"""Errors with equations of lines."""

from __future__ import annotations

from pipeline.exact.numbers import Surd
from pipeline.exact.values import Equation
from pipeline.patterns.linear_equations import multiplied_first_term_only
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.lines import (
    LINE,
    fix_coordinate,
    intercept_from,
    slope_of_other,
    write_line,
)
from pipeline.procedures.walk import Choices

_SKILL = "lines"


@pattern(
    "perpendicular-slope-not-inverted",
    skill=_SKILL,
    source="common practice",
    shows=(
        "line | through (1, 2), perpendicular to y = 2x - 5 | y = -2x + 4",
        "line | through (4, 1), perpendicular to y = 4x | y = -4x + 17",
    ),
    silent=(
        "line | through (1, 2), perpendicular to y = 2x - 5 | y = (-1/2)x + 5/2",
        "line | through (1, 2), parallel to y = 2x - 5 | y = -2x + 4",
    ),
)
@instead_of(slope_of_other, LINE)
def perpendicular_slope_not_inverted(slope: Surd, turned: bool) -> Surd | None:
    """Changes the sign of the slope for a perpendicular line and does not invert it."""
    return -slope if turned else None


@pattern(
    "perpendicular-slope-keeps-sign",
    skill=_SKILL,
    source="common practice",
    shows=(
        "line | through (1, 2), perpendicular to y = 2x - 5 | y = (1/2)x + 3/2",
        "line | through (4, 1), perpendicular to y = 4x | y = x/4",
    ),
    silent=(
        "line | through (1, 2), perpendicular to y = 2x - 5 | y = (-1/2)x + 5/2",
        "line | through (1, 2), parallel to y = 2x - 5 | y = (1/2)x + 3/2",
    ),
)
@instead_of(slope_of_other, LINE)
def perpendicular_slope_keeps_sign(slope: Surd, turned: bool) -> Surd | None:
    """Inverts the slope for a perpendicular line and does not change its sign."""
    return 1 / slope if turned else None


@pattern(
    "parallel-and-perpendicular-swapped",
    skill=_SKILL,
    source="common practice",
    shows=(
        "line | through (1, 2), perpendicular to y = 2x - 5 | y = 2x",
        "line | through (2, 3), parallel to y = 2x - 5 | y = (-1/2)x + 4",
    ),
    silent=(
        "line | through (1, 2), perpendicular to y = 2x - 5 | y = (-1/2)x + 5/2",
        "line | through (2, 3), parallel to y = 2x - 5 | y = 2x - 1",
    ),
)
@instead_of(slope_of_other, LINE)
def parallel_and_perpendicular_swapped(slope: Surd, turned: bool) -> Surd:
    """Uses the slope of a parallel line for a perpendicular one, or the reverse."""
    return slope if turned else -1 / slope


@pattern(
    "point-put-in-with-wrong-sign",
    skill=_SKILL,
    source="common practice",
    shows=(
        "line | through (1, 2), slope 3 | y = 3x + 5",
        "line | through (-2, 5), slope 4 | y = 4x - 3",
    ),
    silent=(
        "line | through (1, 2), slope 3 | y = 3x - 1",
        "line | through (1, 2), slope 3 | y = 3x + 2",
    ),
)
@instead_of(intercept_from, LINE)
def point_put_in_with_wrong_sign(slope: Surd, x: Surd, y: Surd) -> Choices:
    """Puts a coordinate into the point-slope form with the sign that it has not."""
    return Choices((y + slope * x, -y - slope * x))


@pattern(
    "coordinates-of-point-swapped",
    skill=_SKILL,
    source="Otero, Druga and Lan 2024, label 43",
    shows=(
        "line | through (1, 2), slope 3 | y = 3x - 5",
        "line | through (-2, 5), slope 4 | y = 4x - 22",
    ),
    silent=(
        "line | through (1, 2), slope 3 | y = 3x - 1",
        "line | through (2, 2), slope 3 | y = 3x - 4",
    ),
)
@instead_of(intercept_from, LINE)
def coordinates_of_point_swapped(slope: Surd, x: Surd, y: Surd) -> Surd:
    """Uses the x-coordinate of the point as its y-coordinate."""
    return x - slope * y


@pattern(
    "coordinate-used-as-intercept",
    skill=_SKILL,
    source="common practice",
    shows=(
        "line | through (1, 2), slope 3 | y = 3x + 2",
        "line | through (4, 7), (6, 11) | y = 2x + 7",
    ),
    silent=(
        "line | through (1, 2), slope 3 | y = 3x - 1",
        "line | through (0, 2), slope 3 | y = 3x + 3",
    ),
)
@instead_of(intercept_from, LINE)
def coordinate_used_as_intercept(slope: Surd, x: Surd, y: Surd) -> Surd:
    """Uses the y-coordinate of the point as the y-intercept."""
    return y


@multiplied_first_term_only.also(intercept_from, LINE)
def _slope_times_x_only(slope: Surd, x: Surd, y: Surd) -> Surd:
    return y - x


@pattern(
    "slope-and-intercept-swapped",
    skill=_SKILL,
    source="common practice",
    shows=(
        "line | slope 3, y-intercept -2 | y = -2x + 3",
        "line | through (1, 2), slope 3 | y = -x + 3",
    ),
    silent=(
        "line | slope 3, y-intercept -2 | y = 3x - 2",
        "line | slope 3, y-intercept -2 | y = 3x + 2",
    ),
)
@instead_of(write_line, LINE)
def slope_and_intercept_swapped(slope: Surd, intercept: Surd) -> Equation:
    """Writes the slope and the y-intercept in each other's place."""
    return write_line(intercept, slope)


@pattern(
    "vertical-and-horizontal-swapped",
    skill=_SKILL,
    source="common practice",
    shows=(
        "line | through (3, 5), vertical | y = 5",
        "line | through (3, 5), horizontal | x = 3",
    ),
    silent=(
        "line | through (3, 5), vertical | x = 3",
        "line | through (3, 5), horizontal | y = 5",
        "line | through (3, 5), slope undefined | x = 5",
    ),
)
@instead_of(fix_coordinate, LINE)
def vertical_and_horizontal_swapped(vertical: bool, x: Surd, y: Surd) -> Equation:
    """Writes the equation of a horizontal line for a vertical one, or the reverse."""
    return fix_coordinate(not vertical, x, y)


@coordinates_of_point_swapped.also(
    fix_coordinate,
    LINE,
    shows=(
        "line | through (3, 5), vertical | x = 5",
        "line | through (3, 5), horizontal | y = 3",
    ),
    silent=("line | through (3, 5), vertical | x = 3",),
)
def _other_coordinate_fixed(vertical: bool, x: Surd, y: Surd) -> Equation:
    """Uses the coordinate of the point that belongs to the other letter."""
    return fix_coordinate(vertical, y, x)
