"""Errors in solving systems of two linear equations."""

from __future__ import annotations

from pipeline.exact.numbers import Surd
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.parts import Part, join
from pipeline.procedures.solving_for import carry_term
from pipeline.procedures.systems import (
    Row,
    combine_rows,
    evaluate_line,
    isolate_letter,
    report_point,
    scale_row,
)
from pipeline.procedures.walk import Choices, Place


@pattern(
    source="Otero, Druga and Lan 2024 (label 43, points plotted in reverse); common practice",
    shows=(
        "solve | 2x + y = 5; x - y = 1 | (1, 2)",
        "solve | y = 2x + 1; 3x + y = 11 | x = 5, y = 2",
    ),
    silent=(
        "solve | 2x + y = 5; x - y = 1 | (2, 1)",
        "solve | y = 2x + 1; 3x + y = 11 | (2, 4)",
    ),
)
@instead_of(report_point, Place.SYSTEM)
def coordinates_swapped(x: Surd, y: Surd) -> tuple[Surd, Surd]:
    """Finds both unknowns and writes them in the wrong order."""
    return y, x


@pattern(
    source="common practice",
    shows=(
        "solve | 2x + y = 5; x - y = 1 | x = 2",
        "solve | 3x + 4y = 10; 2x - 5y = -1 | 1",
    ),
    silent=(
        "solve | 2x + y = 5; x - y = 1 | (2, 1)",
        "solve | 2x + y = 5; x - y = 1 | 3",
    ),
)
@instead_of(report_point, Place.SYSTEM)
def second_unknown_left_out(x: Surd, y: Surd) -> Choices:
    """Stops when one unknown is found."""
    return Choices((frozenset({x}), frozenset({y})))


@pattern(
    source="common practice",
    shows=(
        "solve | 2x + y = 5; 3x - 2y = 4 | (9/7, 17/7)",
        "solve | x + 2y = 8; 3x - y = 3 | (11/7, 45/14)",
    ),
    silent=(
        "solve | 2x + y = 5; 3x - 2y = 4 | (2, 1)",
        "solve | x + y = 6; x - y = 2 | (4, 2)",
    ),
)
@instead_of(scale_row, Place.SYSTEM)
def scaled_left_side_only(row: Row, factor: Surd) -> Row | None:
    """Multiplies the left side of an equation and leaves the right side as it is."""
    return Row(row.a * factor, row.b * factor, row.c) if factor != -1 else None


@pattern(
    source="common practice",
    shows=(
        "solve | 3x + y = 10; x + y = 4 | (7, -11)",
        "solve | 2x + y = 5; 3x + y = 9 | x = -14, y = 33",
        "solve | x + y = 9; x - y = 3 | (3, 6)",
        "solve | 3x + 2y = 12; x - 2y = 4 | (2, -1)",
    ),
    silent=(
        "solve | 3x + y = 10; x + y = 4 | (3, 1)",
        "solve | 3x + y = 10; x - y = 2 | (3, 1)",
    ),
)
@instead_of(combine_rows, Place.SYSTEM)
def equations_subtracted_in_part(first: Row, second: Row) -> Choices | None:
    """Subtracts one side of the equations and adds the other."""
    if first.b == -second.b:
        right = first.c - second.c  # either equation may be the one to go back into
        return Choices((first.a + second.a, one) for one in (right, -right))
    if first.b != second.b:
        return None
    return Choices(
        ((first.a - second.a, first.c + second.c), (first.a + second.a, first.c - second.c))
    )


@pattern(
    source="Otero, Druga and Lan 2024 (labels 31 and 33, in linear equations); Hall 2002 (kind of"
    " error); Larino 2018 (kind of error)",
    shows=(
        "solve | 2x + y = 5; x - y = 1 | (-6, -7)",
        "solve | x + 4y = 9; 3x + y = 5 | (29/13, -22/13)",
    ),
    silent=(
        "solve | 2x + y = 5; x - y = 1 | (2, 1)",
        "solve | y = 2x + 1; 3x + y = 11 | (2, 5)",
    ),
)
@instead_of(isolate_letter, Place.SYSTEM)
def term_moved_same_sign(row: Row) -> tuple[Surd, Surd] | None:
    """Solves an equation for one unknown without changing the sign of the term carried across."""
    return (row.a / row.b, row.c / row.b) if row.a else None


@term_moved_same_sign.also(
    carry_term,
    Place.FORMULA,
    shows=(
        "solve-for | P = 2L + 2W for W | (P + 2L)/2",
        "solve-for | 3x + 2y = 12 for y | y = (3/2)x + 6",
        "solve | 3x + 2y = 12 for y | y = (3/2)x + 6",
        "solve-for | ax + b = cx + d for x | (d + b)/(a - c)",
        "solve-for | px + q = rx for x | q/(p - r)",
    ),
    silent=("solve-for | 3x + 2y = 12 for y | y = (-3/2)x + 6",),
)
def _carried_with_its_sign(other: Part, rest: Part) -> Part | None:
    return join(other, rest) if rest[0].letters or rest[1].letters else None


@term_moved_same_sign.also(
    isolate_letter,
    Place.SLOPE,
    shows=(
        "slope | 2x + 3y = 6 | 2/3",
        "slope | 5x - 2y = 8 | -5/2",
    ),
    silent=("slope | 2x + 3y = 6 | -2/3",),
)
def _moved_with_its_sign(row: Row) -> tuple[Surd, Surd] | None:
    return (row.a / row.b, row.c / row.b) if row.a else None


@pattern(
    source="common practice",
    shows=(
        "solve | y = 2x + 1; 3x + y = 11 | (2, 4)",
        "solve | x = 3y - 2; x + y = 10 | (9, 3)",
    ),
    silent=(
        "solve | y = 2x + 1; 3x + y = 11 | (2, 5)",
        "solve | y = 2x; 3x + y = 10 | (2, 4)",
    ),
)
@instead_of(evaluate_line, Place.SYSTEM)
def constant_lost_when_going_back(m: Surd, k: Surd, x: Surd) -> Surd:
    """Puts the first value back and leaves out the constant."""
    return m * x
