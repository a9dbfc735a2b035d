"""Errors in finding the vertex of a parabola."""

from __future__ import annotations

from pipeline.exact.numbers import Surd
from pipeline.exact.trees import Node
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.equations import ONE, ZERO, Square
from pipeline.procedures.operations import Roots, axis, height_at, read_vertex
from pipeline.procedures.walk import Choices, Ending, Place
from pipeline.tasks.rewrite import make_up_for, take_out_leading, vertex_form
from pipeline.tasks.vertex import give_coordinate, look_at_square


@pattern(
    source="OpenStax Elementary Algebra 2e, 10.5 (a printed key)",
    shows=(
        "vertex | minimum value of f(x) = x^2 - 4x + 7 | 2",
        "vertex | the axis of symmetry of y = (x - 3)^2 + 2 | x = 2",
    ),
    silent=(
        "vertex | minimum value of f(x) = x^2 - 4x + 7 | 3",
        "vertex | axis of symmetry of y = x^2 - 4x + 7 | x = 7",
    ),
)
@instead_of(give_coordinate, Place.COORDINATE)
def other_coordinate_of_vertex_given(point: tuple[Surd, Surd], coordinate: int) -> Roots:
    """Gives the place of the greatest or least value for the value, or the reverse."""
    return give_coordinate(point, 1 - coordinate)


@pattern(
    source="OpenStax Intermediate Algebra 2e, 9.7 (caution); college algebra notes in a public"
    " repository",
    shows=(
        "rewrite | y = 2x^2 + 8x + 3 | y = 2(x + 2)^2 - 1",
        "rewrite | f(x) = -3x^2 + 12x - 5 | -3(x - 2)^2 - 9",
    ),
    silent=(
        "rewrite | y = 2x^2 + 8x + 3 | y = 2(x + 2)^2 - 5",
        "rewrite | y = x^2 + 8x + 3 | y = (x + 4)^2 - 13",
    ),
)
@instead_of(make_up_for, Place.REWRITING)
def added_square_not_multiplied(c: Surd, a: Surd, added: Surd) -> Surd | None:
    """Takes off the number added in the bracket, not times the number before the bracket."""
    return c - added if a != ONE else None


@pattern(
    source="OpenStax Intermediate Algebra 2e, 9.7 (caution)",
    shows=(
        "rewrite | f(x) = x^2 + 6x + 5 | f(x) = (x + 3)^2 + 5",
        "rewrite | y = 2x^2 + 8x + 3 | 2(x + 2)^2 + 3",
    ),
    silent=(
        "rewrite | f(x) = x^2 + 6x + 5 | (x + 3)^2 - 4",
        "rewrite | f(x) = x^2 + 6x + 5 | (x + 3)^2 - 5",
    ),
)
@instead_of(make_up_for, Place.REWRITING)
def added_square_not_taken_off(c: Surd, a: Surd, added: Surd) -> Surd:
    """Adds the square to one side and neither takes it off again nor adds it to the other."""
    return c


@pattern(
    source="common practice",
    shows=(
        "rewrite | f(x) = x^2 + 6x + 5 | (x + 3)^2 + 14",
        "rewrite | y = 2x^2 + 8x + 3 | 2(x + 2)^2 + 11",
    ),
    silent=(
        "rewrite | f(x) = x^2 + 6x + 5 | (x + 3)^2 - 4",
        "rewrite | f(x) = x^2 + 6x + 5 | (x + 3)^2 - 14",
    ),
)
@instead_of(make_up_for, Place.REWRITING)
def added_square_added_again(c: Surd, a: Surd, added: Surd) -> Choices:
    """Adds the square to the constant as well, where it has to be taken off."""
    return Choices((c + a * added, c + added))


@pattern(
    source="common practice",
    shows=(
        "rewrite | y = 2x^2 + 8x + 3 | y = 2(x + 4)^2 - 29",
        "rewrite | y = -x^2 + 6x + 1 | -(x + 3)^2 + 10",
    ),
    silent=(
        "rewrite | y = 2x^2 + 8x + 3 | 2(x + 2)^2 - 5",
        "rewrite | y = x^2 + 8x + 3 | (x + 4)^2 - 13",
    ),
)
@instead_of(take_out_leading, Place.REWRITING)
def leading_number_taken_from_square_only(a: Surd, b: Surd) -> Surd | None:
    """Takes the leading number out of the first term and leaves the second term as it is."""
    return b if a != ONE else None


@pattern(
    source="common practice",
    shows=(
        "rewrite | y = 2x^2 + 8x + 3 | y = (x + 2)^2 - 5",
        "rewrite | y = -3x^2 + 12x - 5 | (x - 2)^2 + 7",
    ),
    silent=(
        "rewrite | y = 2x^2 + 8x + 3 | 2(x + 2)^2 - 5",
        "rewrite | y = x^2 + 8x + 3 | 2(x + 4)^2 - 13",
    ),
)
@instead_of(vertex_form, Place.REWRITING)
def number_before_square_lost(a: Surd, term: Surd, constant: Surd, letter: str) -> Node:
    """Leaves out the number before the square."""
    return vertex_form(ONE, term, constant, letter)


@pattern(
    source="a public question page; Zaslavsky 1997 (from memory)",
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
    source="from memory",
    shows=(
        "vertex | y = 2(x - 3)^2 + 5 | (6, 5)",
        "vertex | y = 3(x + 1)^2 - 4 | (-3, -4)",
        "vertex | y = 3(x - 2)^2 - 5 | (2, -15)",
    ),
    silent=(
        "vertex | y = 2(x - 3)^2 + 5 | (3, 5)",
        "vertex | y = (2x - 6)^2 + 5 | (6, 5)",
    ),
)
@instead_of(look_at_square, Place.VERTEX)
def number_before_square_multiplied_into_vertex(square: Square) -> Choices:
    """Multiplies a coordinate of the vertex by the number before the bracket."""
    first = square._replace(q=square.q * square.scale)
    return Choices((first, square._replace(rest=square.rest * square.scale)))


@pattern(
    source="from memory",
    shows=(
        "vertex | y = (x - 1)(x - 5) | (1, 5)",
        "vertex | y = x^2 - 6x + 8 | (2, 4)",
    ),
    silent=(
        "vertex | y = (x - 1)(x - 5) | (3, -4)",
        "vertex | y = x^2 - 6x + 8 | (2, -4)",
    ),
)
@instead_of(height_at, Place.VERTEX)
def roots_given_as_vertex(a: Surd, b: Surd, c: Surd, x: Surd) -> Choices | None:
    """Gives the two zeros of the function as the coordinates of one point."""
    root = Surd.root_of(b * b - 4 * a * c)
    if not root or not root.is_rational:
        return None
    zeros = ((-b + root) / (2 * a), (-b - root) / (2 * a))
    return Choices((Ending(zeros), Ending(zeros[::-1])))


@pattern(
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
    source="Otero, Druga and Lan 2024 (label 43, points plotted in reverse); from memory",
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


@vertex_height_sign_changed.also(
    read_vertex,
    Place.VERTEX,
    shows=("vertex | y = 3(x - 2)^2 - 5 | (-2, 5)", "vertex | y = 2(x - 3)^2 + 4 | (-3, -4)"),
    silent=("vertex | y = 3(x - 2)^2 - 5 | (2, -5)", "vertex | y = 3(x - 2)^2 - 5 | (-2, -5)"),
)
def _both_signs_changed(p: Surd, q: Surd, rest: Surd) -> tuple[Surd, Surd]:
    """Gives both coordinates with the opposite sign."""
    return q / p, -rest


@pattern(
    source="Burns 2014",
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
    source="Zaslavsky 1997 (from memory)",
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
    source="OpenStax Elementary Algebra 2e, 10.5 (related: other quantity given); common practice",
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
@instead_of(height_at, Place.VERTEX)
def one_coordinate_given(a: Surd, b: Surd, c: Surd, x: Surd) -> Choices:
    """Gives the axis of symmetry or the height alone, not the point."""
    height = (a * x + b) * x + c
    return Choices((Ending(frozenset({x})), Ending(frozenset({height}))))


@one_coordinate_given.also(read_vertex, Place.VERTEX)
def _one_coordinate_read(p: Surd, q: Surd, rest: Surd) -> Choices:
    return Choices((Ending(frozenset({-q / p})), Ending(frozenset({rest}))))
