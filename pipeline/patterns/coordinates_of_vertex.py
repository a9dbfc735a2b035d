"""Errors where one coordinate of a vertex is asked for."""

from __future__ import annotations

from pipeline.exact.numbers import Surd
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.operations import Roots
from pipeline.tasks.vertex import COORDINATE, give_coordinate


@pattern(
    "other-coordinate-of-vertex-given",
    skill="vertex form",
    source="OpenStax Elementary Algebra 2e, 10.5 (a key that answers the other quantity)",
    shows=(
        "vertex | minimum value of f(x) = x^2 - 4x + 7 | 2",
        "vertex | the axis of symmetry of y = (x - 3)^2 + 2 | x = 2",
    ),
    silent=(
        "vertex | minimum value of f(x) = x^2 - 4x + 7 | 3",
        "vertex | axis of symmetry of y = x^2 - 4x + 7 | x = 7",
    ),
)
@instead_of(give_coordinate, COORDINATE)
def other_coordinate_of_vertex_given(point: tuple[Surd, Surd], coordinate: int) -> Roots:
    """Gives the place of the greatest or least value for the value, or the reverse."""
    return give_coordinate(point, 1 - coordinate)
