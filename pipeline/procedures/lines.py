"""Slopes, and equations of lines."""

from __future__ import annotations

from typing import NamedTuple

from pipeline.errors import CannotBeWorked
from pipeline.exact.evaluate import tree_of_surd
from pipeline.exact.numbers import Surd
from pipeline.exact.polynomials import Polynomial, tree_of_polynomial
from pipeline.exact.trees import Letter, Relation
from pipeline.exact.values import Equation
from pipeline.procedures.equations import Named
from pipeline.procedures.systems import Row, SolvedRow, isolate_letter
from pipeline.procedures.walk import NO_SOLUTION, Place, Walk


class Points(NamedTuple):
    """Two points of a line."""

    x1: Surd
    y1: Surd
    x2: Surd
    y2: Surd


class Written(NamedTuple):
    """The equation of a line, and whether it is written as y = ..."""

    row: Row
    solved: bool


class Line(NamedTuple):
    """What is known of a line.

    Args:
        points: two points, or None.
        slope: its slope, where given.
        beside: a line that it is parallel or perpendicular to, or None.
        turned: whether it is perpendicular to that line.
        through: one point.
    """

    through: tuple[Surd, Surd]
    points: Points | None = None
    slope: Surd | None = None
    beside: Written | None = None
    turned: bool = False


def within_points(points: Points) -> Surd | None:
    """Decide to subtract like coordinates."""
    return None


def rise(first: Surd, second: Surd) -> Surd:
    """Subtract the y-coordinates: second minus first."""
    return second - first


def run(first: Surd, second: Surd) -> Surd:
    """Subtract the x-coordinates: second minus first."""
    return second - first


def divide_rise(up: Surd, along: Surd) -> Surd | str:
    """Divide rise by run; a vertical line has no slope."""
    return up / along if along else NO_SOLUTION


def slope_through(step: Walk, points: Points) -> Surd | str:
    """Find the slope of the line through two points."""
    early = step.do(within_points, Place.SLOPE, points)
    if early is not None:
        return early
    up = step.do(rise, Place.SLOPE, points.y1, points.y2)
    along = step.do(run, Place.SLOPE, points.x1, points.x2)
    return step.do(divide_rise, Place.SLOPE, up, along)


def read_slope(row: Row, solved: bool) -> Surd | str | None:
    """Decide to solve for y before the slope is read."""
    return None


def slope_from_equation(step: Walk, start: Written) -> Surd | str:
    """Solve an equation for y and read the slope."""
    row = start.row
    early = step.do(read_slope, Place.SLOPE, row, start.solved)
    if early is not None:
        return early
    if start.solved:
        return isolate_letter(row)[0]
    if not row.b:
        return NO_SOLUTION
    slope, constant = step.do(isolate_letter, Place.SLOPE, row)
    step.write(SolvedRow, False, slope, constant)
    return slope


def slope_of_other(slope: Surd, turned: bool) -> Surd:
    """Return the slope of a parallel, or where `turned` of a perpendicular line."""
    return -1 / slope if turned else slope


def intercept_from(slope: Surd, x: Surd, y: Surd) -> Surd:
    """Return b of y = slope*x + b through a point."""
    return y - slope * x


def write_line(slope: Surd, intercept: Surd) -> Equation:
    """Write y = slope*x + intercept."""
    side = tree_of_polynomial(Polynomial.univariate("x", (intercept, slope)))
    return Equation(Relation((Letter("y"), side), ("=",)))


def write_vertical(x: Surd) -> Equation:
    """Write x = a."""
    return Equation(Relation((Letter("x"), tree_of_surd(x)), ("=",)))


def start_constant(beside: Written) -> Surd | None:
    """Decide to find the constant from the point."""
    return None


def find_line(step: Walk, line: Line) -> object:
    """Find slope and intercept, and write the equation."""
    slope = _slope(step, line)
    x, y = line.through
    if isinstance(slope, str):
        return find_upright(step, Upright((x, y), True))
    if not slope:
        return find_upright(step, Upright((x, y), False))
    early = step.do(start_constant, Place.LINE, line.beside) if line.beside else None
    if early is not None:
        return write_line(slope, early)
    step.write(Named, "m", slope)
    intercept = step.do(intercept_from, Place.LINE, slope, x, y) if x else y
    step.write(Named, "b", intercept)
    return step.do(write_line, Place.LINE, slope, intercept)


def _slope(step: Walk, line: Line) -> Surd | str:
    if line.points is not None:
        return slope_through(step, line.points)
    if line.beside is None:
        if line.slope is None:
            raise CannotBeWorked
        return line.slope
    if not line.beside.row.b:
        if not line.turned:
            return NO_SOLUTION
        return Surd.of(0)
    slope = slope_from_equation(step, line.beside)
    if isinstance(slope, str):
        return slope
    if not isinstance(slope, Surd):
        raise CannotBeWorked
    if not slope and line.turned:
        return NO_SOLUTION
    step.write(Named, "m", slope)
    return step.do(slope_of_other, Place.LINE, slope, line.turned)


class Upright(NamedTuple):
    """A vertical or a horizontal line through a point."""

    through: tuple[Surd, Surd]
    vertical: bool


def fix_coordinate(vertical: bool, x: Surd, y: Surd) -> Equation:
    """Write x = a for a vertical line, y = b for a horizontal one."""
    return write_vertical(x) if vertical else write_line(Surd.of(0), y)


def find_upright(step: Walk, start: Upright) -> object:
    """Write the equation of a vertical or horizontal line."""
    return step.do(fix_coordinate, Place.LINE, start.vertical, *start.through)
