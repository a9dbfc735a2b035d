"""Questions whose answer is one number or one point read off a quadratic."""

from __future__ import annotations

from typing import Final, NamedTuple

from pipeline.exact.numbers import Surd
from pipeline.procedures import operations as op
from pipeline.procedures.equations import ONE, Square
from pipeline.procedures.quadratic import discriminant
from pipeline.procedures.vertex_forms import Quadratic
from pipeline.procedures.walk import Abandoned, Walk

__all__ = [
    "COMPLETED",
    "COORDINATE",
    "VERTEX",
    "OneCoordinate",
    "constant_that_completes",
    "find_discriminant",
    "give_coordinate",
    "one_coordinate",
    "read_terms",
    "vertex_by_axis",
    "vertex_by_reading",
    "vertex_by_square",
]

VERTEX: Final = "vertex"
COMPLETED: Final = "vertex of a completed square"
COORDINATE: Final = "coordinate of a vertex"


def constant_that_completes(step: Walk, whole: Surd) -> Surd:
    """Find the number that makes x^2 + whole*x a perfect square."""
    place = "constant of a square"
    half = step.do(op.half, place, whole)
    return step.do(op.square, place, half, whole)


def find_discriminant(step: Walk, start: Quadratic | tuple[Surd, Surd, Surd]) -> Surd:
    """Compute b^2 - 4ac and nothing more."""
    if isinstance(start, Quadratic):
        start = step.do(read_terms, "discriminant", *start)[:3]
    return discriminant(step, "discriminant", start)


def read_terms(a: Surd, b: Surd, c: Surd, letter: str) -> Quadratic:
    """Read the numbers before the letters, and the constant."""
    return Quadratic(a, b, c, letter)


def vertex_by_reading(step: Walk, square: Square, place: str = VERTEX) -> tuple[Surd, Surd]:
    """Read the vertex off y = scale*(p*x + q)^2 + rest."""
    return step.do(op.read_vertex, place, square.p, square.q, square.rest)


def vertex_by_square(step: Walk, abc: tuple[Surd, Surd, Surd]) -> tuple[Surd, Surd]:
    """Read the vertex off the completed square."""
    a, b, c = abc
    if not (a and b):
        raise Abandoned
    half = b / (2 * a)
    return step.do(op.read_vertex, COMPLETED, ONE, half, c - a * half * half)


def vertex_by_axis(
    step: Walk, abc: tuple[Surd, Surd, Surd], place: str = VERTEX
) -> tuple[Surd, Surd]:
    """Find the axis first, then the height of the parabola there."""
    a, b, c = abc
    if not a:
        raise Abandoned
    axis = step.do(op.axis, place, a, b)
    return axis, step.do(op.height_at, place, a, b, c, axis)


class OneCoordinate(NamedTuple):
    """A coordinate of the vertex, 0 for the axis or 1 for the height, and the quadratic."""

    coordinate: int
    start: Square | tuple[Surd, Surd, Surd]


def one_coordinate(step: Walk, asked: OneCoordinate) -> op.Roots:
    """Find the vertex, and give the axis of symmetry or the greatest or least value."""
    if isinstance(asked.start, Square):
        point = vertex_by_reading(step, asked.start, COORDINATE)
    else:
        point = vertex_by_axis(step, asked.start, COORDINATE)
    return step.do(give_coordinate, COORDINATE, point, asked.coordinate)


def give_coordinate(point: tuple[Surd, Surd], coordinate: int) -> op.Roots:
    """Give the coordinate that was asked for."""
    return frozenset({point[coordinate]})
