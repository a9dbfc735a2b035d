"""Errors in finding the vertex of a parabola."""

from __future__ import annotations

from pipeline.exact.numbers import Surd
from pipeline.patterns.constant_of_a_square import square_keeps_minus
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.equations import ZERO
from pipeline.procedures.operations import axis, height_at, read_vertex
from pipeline.procedures.walk import Choices, Ending
from pipeline.tasks.vertex import VERTEX

_SKILL = "vertex form"


@pattern(
    "vertex-sign-kept",
    skill=_SKILL,
    source="Zaslavsky 1997, from memory; a public question page",
    shows=(
        "vertex | y = 2(x - 8)^2 + 2 | (-8, 2)",
        "vertex | y = (x + 3)^2 - 5 | (3, -5)",
        "vertex | y = x^2 - 4x + 7 | (-2, 3)",
    ),
    silent=(
        "vertex | y = 2(x - 8)^2 + 2 | (8, 2)",
        "vertex | y = 2(x - 8)^2 + 2 | (8, -2)",
    ),
)
@instead_of(read_vertex)
def vertex_sign_kept(p: Surd, q: Surd, rest: Surd) -> tuple[Surd, Surd]:
    """Reads the first coordinate off the bracket with the sign that stands there."""
    return q / p, rest


@pattern(
    "vertex-not-halved",
    skill=_SKILL,
    source="from memory",
    shows=(
        "vertex | y = 2x^2 + 8x + 9 | (-4, 9)",
        "vertex | y = x^2 - 4x + 7 | (4, 7)",
        "vertex | axis of symmetry of f(x) = x^2 - 4x + 7 | x = 4",
    ),
    silent=(
        "vertex | y = 2x^2 + 8x + 9 | (-2, 1)",
        "vertex | y = x^2 - 4x + 7 | (-4, 7)",
    ),
)
@instead_of(axis)
def vertex_not_halved(a: Surd, b: Surd) -> Surd:
    """Uses x = -b/a for the axis of symmetry."""
    return -b / a


@pattern(
    "vertex-b-not-negated",
    skill=_SKILL,
    source="from memory",
    shows=(
        "vertex | y = 2x^2 + 16x - 5 | (4, 91)",
        "vertex | y = x^2 - 4x + 7 | (-2, 19)",
        "vertex | axis of symmetry of f(x) = x^2 - 4x + 7 | x = -2",
    ),
    silent=(
        "vertex | y = 2x^2 + 16x - 5 | (-4, -37)",
        "vertex | y = x^2 - 4x + 7 | (2, 19)",
    ),
)
@instead_of(axis)
def vertex_b_not_negated(a: Surd, b: Surd) -> Surd:
    """Uses x = b/(2a) for the axis of symmetry."""
    return b / (2 * a)


@pattern(
    "axis-divided-by-two-only",
    skill=_SKILL,
    source="common practice",
    shows=(
        "vertex | y = 2x^2 + 8x + 9 | (-4, 9)",
        "vertex | y = 3x^2 - 12x + 1 | (6, 37)",
    ),
    silent=(
        "vertex | y = 3x^2 - 12x + 1 | (2, -11)",
        "vertex | y = x^2 - 4x + 7 | (4, 7)",
    ),
)
@instead_of(axis)
def axis_divided_by_two_only(a: Surd, b: Surd) -> Surd:
    """Divides -b by 2 and not by 2a for the axis of symmetry."""
    return -b / 2


@pattern(
    "vertex-coordinates-swapped",
    skill=_SKILL,
    source="Ashlock 2006; from memory",
    shows=(
        "vertex | y = (x - 3)^2 + 2 | (2, 3)",
        "vertex | y = x^2 - 4x + 7 | (3, 2)",
    ),
    silent=(
        "vertex | y = (x - 3)^2 + 2 | (3, 2)",
        "vertex | y = (x - 3)^2 + 3 | (2, 3)",
    ),
)
@instead_of(read_vertex)
def vertex_coordinates_swapped(p: Surd, q: Surd, rest: Surd) -> tuple[Surd, Surd]:
    """Gives the coordinates of the vertex in the wrong order."""
    return rest, -q / p


@vertex_coordinates_swapped.also(height_at)
def _height_first(a: Surd, b: Surd, c: Surd, x: Surd) -> Ending:
    return Ending(((a * x + b) * x + c, x))


@pattern(
    "vertex-height-sign-changed",
    skill=_SKILL,
    source="a public question page",
    shows=(
        "vertex | y = (x - 3)^2 + 2 | (3, -2)",
        "vertex | y = -2(x + 1)^2 - 6 | (-1, 6)",
    ),
    silent=(
        "vertex | y = (x - 3)^2 + 2 | (3, 2)",
        "vertex | y = (x - 3)^2 + 2 | (-3, 2)",
    ),
)
@instead_of(read_vertex)
def vertex_height_sign_changed(p: Surd, q: Surd, rest: Surd) -> tuple[Surd, Surd]:
    """Changes the sign of the second coordinate, as if it stood in the bracket."""
    return -q / p, -rest


@pattern(
    "vertex-at-origin",
    skill=_SKILL,
    source="A. Burns 2014",
    shows=(
        "vertex | y = x^2 - 4x + 7 | (0, 0)",
        "vertex | y = (x - 3)^2 + 2 | (0, 0)",
    ),
    silent=(
        "vertex | y = x^2 - 4x + 7 | (2, 3)",
        "vertex | y = x^2 - 4x + 7 | (0, 7)",
    ),
)
@instead_of(axis)
def vertex_at_origin(a: Surd, b: Surd) -> Ending:
    """Takes the origin for the vertex of any parabola."""
    return Ending((ZERO, ZERO))


@vertex_at_origin.also(read_vertex)
def _origin_read(p: Surd, q: Surd, rest: Surd) -> tuple[Surd, Surd]:
    return ZERO, ZERO


@pattern(
    "intercept-given-as-vertex",
    skill=_SKILL,
    source="Zaslavsky 1997, from memory",
    shows=(
        "vertex | y = x^2 - 4x + 7 | (0, 7)",
        "vertex | y = 2x^2 + 8x + 9 | (0, 9)",
    ),
    silent=(
        "vertex | y = x^2 - 4x + 7 | (2, 3)",
        "vertex | y = x^2 - 4x + 7 | (7, 0)",
    ),
)
@instead_of(height_at)
def intercept_given_as_vertex(a: Surd, b: Surd, c: Surd, x: Surd) -> Ending:
    """Gives the point where the parabola meets the vertical axis."""
    return Ending((ZERO, c))


@pattern(
    "constant-given-as-height",
    skill=_SKILL,
    source="common practice",
    shows=(
        "vertex | y = x^2 - 4x + 7 | (2, 7)",
        "vertex | y = 2x^2 + 8x + 9 | (-2, 9)",
    ),
    silent=(
        "vertex | y = x^2 - 4x + 7 | (2, 3)",
        "vertex | y = x^2 - 4x + 7 | (0, 7)",
    ),
)
@instead_of(height_at)
def constant_given_as_height(a: Surd, b: Surd, c: Surd, x: Surd) -> Surd:
    """Takes the constant term for the height of the vertex."""
    return c


@pattern(
    "one-coordinate-given",
    skill=_SKILL,
    source="OpenStax Elementary Algebra 2e, 10.5 (a key that answers the other quantity)",
    shows=(
        "vertex | y = x^2 - 4x + 7 | 3",
        "vertex | y = (x - 3)^2 + 2 | x = 3",
    ),
    silent=(
        "vertex | y = x^2 - 4x + 7 | (2, 3)",
        "vertex | y = x^2 - 4x + 7 | 7",
        "vertex | axis of symmetry of y = x^2 - 4x + 7 | 3",
    ),
)
@instead_of(height_at, VERTEX)
def one_coordinate_given(a: Surd, b: Surd, c: Surd, x: Surd) -> Choices:
    """Gives the axis of symmetry or the height alone, not the point."""
    height = (a * x + b) * x + c
    return Choices((Ending(frozenset({x})), Ending(frozenset({height}))))


@one_coordinate_given.also(read_vertex, VERTEX)
def _one_coordinate_read(p: Surd, q: Surd, rest: Surd) -> Choices:
    return Choices((Ending(frozenset({-q / p})), Ending(frozenset({rest}))))


@square_keeps_minus.also(
    height_at,
    shows=("vertex | y = 2x^2 + 8x + 9 | (-2, -15)", "vertex | y = x^2 + 6x + 1 | (-3, -26)"),
    silent=("vertex | y = 2x^2 + 8x + 9 | (-2, 1)", "vertex | y = x^2 - 6x + 1 | (3, -26)"),
)
def _height_with_negative_square(a: Surd, b: Surd, c: Surd, x: Surd) -> Surd | None:
    """Leaves a minus sign on the square of a negative number when the height is worked out."""
    return b * x + c - a * x * x if x.is_real and x.real_sign() < 0 else None
