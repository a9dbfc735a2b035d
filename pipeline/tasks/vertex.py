"""The vertex of a parabola, or one of its coordinates."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Final, NamedTuple

from pipeline.errors import CannotBeWorked
from pipeline.exact.numbers import Surd
from pipeline.procedures import operations as op
from pipeline.procedures.equations import ONE, Named, Square, square_of
from pipeline.procedures.parabolas import AXIS, asked_coordinate, parabola, quadratic_of
from pipeline.procedures.walk import Place, Plan, Walk
from pipeline.reading.problems import Notation, Problem
from pipeline.reading.records import ReadAnswer
from pipeline.tasks.rewrite import complete_square
from pipeline.tasks.slope import line_of_label
from pipeline.tasks.task import Asked, Task


def look_at_square(square: Square) -> Square:
    """Look at the bracket that is squared, apart from the number before it."""
    return square


def vertex_by_reading(step: Walk, square: Square, place: str = Place.VERTEX) -> tuple[Surd, Surd]:
    """Read the vertex off y = scale*(p*x + q)^2 + rest."""
    square = step.do(look_at_square, place, square)
    found = step.do(op.read_vertex, place, square.p, square.q, square.rest)
    for letter, value in zip("xy", found, strict=True):
        step.write(Named, letter, value)
    return found


def vertex_by_square(step: Walk, abc: tuple[Surd, Surd, Surd]) -> tuple[Surd, Surd]:
    """Read the vertex off the completed square."""
    if not abc[1]:
        raise CannotBeWorked
    term, constant = complete_square(step, *abc)
    return step.do(op.read_vertex, Place.COMPLETED_SQUARE, ONE, term, constant)


def vertex_by_axis(
    step: Walk, abc: tuple[Surd, Surd, Surd], place: str = Place.VERTEX
) -> tuple[Surd, Surd]:
    """Find the axis first, then the height of the parabola there."""
    a, b, c = abc
    axis = step.do(op.axis, place, a, b)
    step.write(Named, "x", axis)
    height = step.do(op.height_at, place, a, b, c, axis)
    step.write(Named, "y", height)
    return axis, height


class OneCoordinate(NamedTuple):
    """A coordinate of the vertex, 0 for the axis or 1 for the height, and the quadratic."""

    coordinate: int
    start: Square | tuple[Surd, Surd, Surd]


def one_coordinate(step: Walk, asked: OneCoordinate) -> op.Roots:
    """Find the vertex, and give the axis of symmetry or the greatest or least value."""
    if isinstance(asked.start, Square):
        point = vertex_by_reading(step, asked.start, Place.COORDINATE)
    else:
        point = vertex_by_axis(step, asked.start, Place.COORDINATE)
    return step.do(give_coordinate, Place.COORDINATE, point, asked.coordinate)


def give_coordinate(point: tuple[Surd, Surd], coordinate: int) -> op.Roots:
    """Give the coordinate that was asked for."""
    return frozenset({point[coordinate]})


def _plans(problem: Problem) -> list[Plan]:
    abc = quadratic_of(problem)[:3]
    square = square_of(*parabola(problem))
    start = square if square is not None and square.q else abc
    coordinate = asked_coordinate(problem.text)
    if coordinate is not None:
        return [Plan("vertex", one_coordinate, OneCoordinate(coordinate, start))]
    if start is not abc:
        return [Plan("vertex", vertex_by_reading, start)]
    return [Plan("vertex", vertex_by_axis, abc), Plan("completed square", vertex_by_square, abc)]


_LEVEL: Final = re.compile(r"^[\s$]*[yY]\s*=[^=]+$")


def _as_line(read: ReadAnswer, asked: Asked) -> ReadAnswer:
    """Keep the letter of `y = 2`, elsewhere a label, where an axis of symmetry is asked for."""
    problem = asked.problem
    if problem is None or asked_coordinate(problem.text) != AXIS or not _LEVEL.match(read.raw):
        return read
    if parabola(problem)[1].casefold() == "y":
        return read
    return replace(read, readings=tuple(line_of_label(one, "y") for one in read.readings))


VERTEX: Final = Task(
    "vertex",
    "the vertex",
    "`y = ...` or an expression; `axis of symmetry of` or `minimum of` may stand before it",
    "y = (x - 3)^2 + 2",
    "(3, 2)",
    _plans,
    notation=Notation(named=True),
    other_names=(("h", "x"), ("k", "y")),
    meant=_as_line,
    chance_by_size=True,
    of_any_numbers=True,
)
