"""Questions whose answer is one number or one point read off a quadratic."""

from __future__ import annotations

from pipeline.exact.numbers import Surd
from pipeline.procedures import operations as op
from pipeline.procedures.equations import Square
from pipeline.procedures.quadratic import discriminant
from pipeline.procedures.vertex_forms import Quadratic
from pipeline.procedures.walk import Abandoned, Walk

__all__ = [
    "constant_that_completes",
    "find_discriminant",
    "read_terms",
    "vertex_by_axis",
    "vertex_by_reading",
]


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


def vertex_by_reading(step: Walk, square: Square) -> tuple[Surd, Surd]:
    """Read the vertex off y = scale*(p*x + q)^2 + rest."""
    return step.do(op.read_vertex, "vertex form", square.p, square.q, square.rest)


def vertex_by_axis(step: Walk, abc: tuple[Surd, Surd, Surd]) -> tuple[Surd, Surd]:
    """Find the axis first, then the height of the parabola there."""
    a, b, c = abc
    if not a:
        raise Abandoned
    axis = step.do(op.axis, "vertex", a, b)
    return axis, step.do(op.height_at, "vertex", a, b, c, axis)
