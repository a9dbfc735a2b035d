"""Errors with equations of lines."""

from __future__ import annotations

from pipeline.exact.numbers import Surd
from pipeline.exact.values import Equation
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.lines import (
    Points,
    Written,
    divide_rise,
    fix_coordinate,
    intercept_from,
    read_slope,
    rise,
    slope_of_other,
    start_constant,
    within_points,
    write_line,
)
from pipeline.procedures.parabolas import AXIS
from pipeline.procedures.systems import Row, isolate_letter
from pipeline.procedures.walk import NO_SOLUTION, Choices, Place
from pipeline.tasks.vertex import give_coordinate


@pattern(
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
@instead_of(slope_of_other, Place.LINE)
def perpendicular_slope_not_inverted(slope: Surd, turned: bool) -> Surd | None:
    """Changes the sign of the slope for a perpendicular line and does not invert it."""
    return -slope if turned else None


@pattern(
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
@instead_of(slope_of_other, Place.LINE)
def perpendicular_slope_keeps_sign(slope: Surd, turned: bool) -> Surd | None:
    """Inverts the slope for a perpendicular line and does not change its sign."""
    return 1 / slope if turned else None


@pattern(
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
@instead_of(slope_of_other, Place.LINE)
def parallel_and_perpendicular_swapped(slope: Surd, turned: bool) -> Surd:
    """Uses the slope of a parallel line for a perpendicular one, or the reverse."""
    return slope if turned else -1 / slope


@pattern(
    source="common practice",
    shows=(
        "line | through (1, 2), slope 3 | y = 3x + 5",
        "line | through (-2, 5), slope 4 | y = 4x - 3",
        "line | through (1, 2), slope 3 | y + 2 = 3(x + 1)",
    ),
    silent=(
        "line | through (1, 2), slope 3 | y = 3x - 1",
        "line | through (1, 2), slope 3 | y = 3x + 2",
    ),
)
@instead_of(intercept_from, Place.LINE)
def point_put_in_with_wrong_sign(slope: Surd, x: Surd, y: Surd) -> Choices:
    """Puts a coordinate into the point-slope form with the sign that it has not."""
    return Choices((y + slope * x, -y - slope * x, slope * x - y))


@pattern(
    source="Otero, Druga and Lan 2024 (label 43, points plotted in reverse)",
    shows=(
        "line | through (1, 2), slope 3 | y = 3x - 5",
        "line | through (-2, 5), slope 4 | y = 4x - 22",
    ),
    silent=(
        "line | through (1, 2), slope 3 | y = 3x - 1",
        "line | through (2, 2), slope 3 | y = 3x - 4",
    ),
)
@instead_of(intercept_from, Place.LINE)
def coordinates_of_point_swapped(slope: Surd, x: Surd, y: Surd) -> Surd:
    """Uses the x-coordinate of the point as its y-coordinate."""
    return x - slope * y


@coordinates_of_point_swapped.also(
    fix_coordinate,
    Place.LINE,
    shows=(
        "line | through (3, 5), vertical | x = 5",
        "line | through (3, 5), horizontal | y = 3",
    ),
    silent=("line | through (3, 5), vertical | x = 3",),
)
def _other_coordinate_fixed(vertical: bool, x: Surd, y: Surd) -> Equation:
    """Uses the coordinate of the point that belongs to the other letter."""
    return fix_coordinate(vertical, y, x)


@pattern(
    source="common practice",
    shows=(
        "line | through (4, 1), parallel to y = 2x + 3 | y = 2x + 3",
        "line | through (4, 2), perpendicular to y = 2x + 3 | y = -x/2 + 3",
    ),
    silent=(
        "line | through (4, 1), parallel to y = 2x + 3 | y = 2x - 7",
        "line | through (4, 2), perpendicular to y = 2x + 3 | y = -x/2 + 4",
    ),
)
@instead_of(start_constant, Place.LINE)
def constant_of_given_line_kept(beside: Written) -> Surd | None:
    """Keeps the constant of the line that is given and does not put the point in."""
    return isolate_letter(beside.row)[1] if beside.row.b else None


@pattern(
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
@instead_of(intercept_from, Place.LINE)
def coordinate_used_as_intercept(slope: Surd, x: Surd, y: Surd) -> Surd:
    """Uses the y-coordinate of the point as the y-intercept."""
    return y


@pattern(
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
@instead_of(write_line, Place.LINE)
def slope_and_intercept_swapped(slope: Surd, intercept: Surd) -> Equation:
    """Writes the slope and the y-intercept in each other's place."""
    return write_line(intercept, slope)


@pattern(
    source="from memory",
    shows=(
        "line | slope 3, through (1, 2) | y = 3x",
        "line | slope 2, through (1, 5) | y = 2x",
    ),
    silent=(
        "line | slope 3, through (1, 2) | y = 3x - 1",
        "line | slope 3, through (1, 3) | y = 3x",
    ),
)
@instead_of(write_line, Place.LINE)
def intercept_left_out(slope: Surd, intercept: Surd) -> Equation:
    """Writes the slope alone and leaves the constant out."""
    return write_line(slope, Surd.of(0))


@pattern(
    source="common practice",
    shows=(
        "line | through (3, 5), vertical | y = 5",
        "line | through (3, 5), horizontal | x = 3",
        "line | through (3, 5), vertical | y = 3",
        "line | through (4, 2), (4, 7) | y = 4",
    ),
    silent=(
        "line | through (3, 5), vertical | x = 3",
        "line | through (3, 5), horizontal | y = 5",
        "line | through (3, 5), slope undefined | x = 5",
    ),
)
@instead_of(fix_coordinate, Place.LINE)
def vertical_and_horizontal_swapped(vertical: bool, x: Surd, y: Surd) -> Choices:
    """Writes the equation of a horizontal line for a vertical one, or the reverse."""
    return Choices((fix_coordinate(not vertical, x, y), fix_coordinate(not vertical, y, x)))


@vertical_and_horizontal_swapped.also(
    give_coordinate,
    Place.COORDINATE,
    shows=(
        "vertex | axis of symmetry of y = x^2 - 4x + 7 | y = 2",
        "vertex | axis of symmetry of y = (x + 3)^2 - 1 | y = -3",
    ),
    silent=(
        "vertex | axis of symmetry of y = x^2 - 4x + 7 | x = 2",
        "vertex | minimum of y = x^2 - 4x + 7 | y = 3",
    ),
)
def _axis_written_as_level_line(point: tuple[Surd, Surd], coordinate: int) -> Equation | None:
    """Writes the axis of symmetry as a horizontal line."""
    return write_line(Surd.of(0), point[0]) if coordinate == AXIS else None


@pattern(
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
@instead_of(divide_rise, Place.SLOPE)
def slope_upside_down(up: Surd, along: Surd) -> Surd:
    """Divides run by rise."""
    return along / up


@slope_upside_down.also(isolate_letter, Place.SLOPE)
def _inverted_when_solved(row: Row) -> tuple[Surd, Surd]:
    return -row.b / row.a, row.c


@pattern(
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
@instead_of(rise, Place.SLOPE)
def points_subtracted_in_different_order(first: Surd, second: Surd) -> Surd:
    """Subtracts the y-coordinates in one order and the x-coordinates in the other."""
    return first - second


@pattern(
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
@instead_of(within_points, Place.SLOPE)
def coordinates_added_for_slope(points: Points) -> Choices:
    """Adds the coordinates where they are to be subtracted."""
    up, along = points.y2 - points.y1, points.x2 - points.x1
    above, below = points.y1 + points.y2, points.x1 + points.x2
    pairs = ((above, below), (up, below), (above, along))
    return Choices(one / two for one, two in pairs if two)


@pattern(
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
@instead_of(divide_rise, Place.SLOPE)
def rise_given_as_slope(up: Surd, along: Surd) -> Surd | None:
    """Gives the change of y and does not divide by the change of x."""
    return up


@pattern(
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
@instead_of(divide_rise, Place.SLOPE)
def zero_and_undefined_slope_swapped(up: Surd, along: Surd) -> Surd | str | None:
    """Takes the slope of a horizontal line for that of a vertical one, or the reverse."""
    if not along:
        return Surd.of(0)
    return None if up else NO_SOLUTION


@zero_and_undefined_slope_swapped.also(
    read_slope,
    Place.SLOPE,
    shows=("slope | y = 4 | undefined", "slope | x = -2 | 0"),
    silent=("slope | y = 4 | 0", "slope | x = -2 | undefined", "slope | y = 4x | 0"),
)
def _of_upright_line(row: Row, solved: bool) -> Surd | str | None:
    if not row.b:
        return Surd.of(0)
    return None if row.a else NO_SOLUTION


@pattern(
    source="common practice",
    shows=(
        "slope | 2x + 3y = 6 | 2",
        "slope | 5x - 2y = 8 | 5",
        "slope | 2x + 3y = 6 | -2",
    ),
    silent=(
        "slope | 2x + 3y = 6 | -2/3",
        "slope | y = 2x + 3 | 3",
        "slope | 2x + y = 6 | -2",
    ),
)
@instead_of(read_slope, Place.SLOPE)
def coefficient_of_x_read_as_slope(row: Row, solved: bool) -> Choices | None:
    """Reads the number before x as the slope although the equation is not solved for y."""
    return None if solved else Choices((row.a, -row.a))


@pattern(
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
@instead_of(read_slope, Place.SLOPE)
def intercept_read_as_slope(row: Row, solved: bool) -> Surd | None:
    """Gives the y-intercept in place of the slope."""
    return row.c / row.b if row.c else None
