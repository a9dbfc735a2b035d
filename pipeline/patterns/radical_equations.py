"""Errors with radical equations."""

from __future__ import annotations

from pipeline.exact.numbers import Surd
from pipeline.patterns.registry import instead_of, pattern
from pipeline.patterns.squaring_binomials import middle_term_not_doubled, square_spread_over_sum
from pipeline.patterns.zero_product import second_root_left_out
from pipeline.procedures.equations import Coefficients
from pipeline.procedures.operations import Roots
from pipeline.procedures.polynomial_roots import added, multiplied, scaled
from pipeline.procedures.radical_equations import (
    POWER,
    RADICAL,
    Radical,
    Sides,
    TwoRadicals,
    keep_solutions,
    report_all,
    square_at_once,
    square_sides,
    square_two,
)
from pipeline.procedures.walk import Choices

_SKILL = "radical equations"


@pattern(
    "extraneous-root-kept",
    skill=_SKILL,
    source="E. Schechter 2006, The Most Common Errors in Undergraduate Mathematics;"
    " South African examiners' comments, November 2024",
    shows=(
        "solve | sqrt(x + 6) = x | 3, -2",
        "solve | sqrt(2r - 3) + 5 = 0 | 14",
        "solve | |x - 2| = 3x | 1/2, -1",
    ),
    silent=(
        "solve | sqrt(x + 6) = x | 3",
        "solve | sqrt(x - 2) + 2 = x | 2, 3",
    ),
)
@instead_of(keep_solutions, RADICAL)
def extraneous_root_kept(roots: Roots, k: Surd, inside: Coefficients, other: Coefficients) -> Roots:
    """Keeps a root that does not solve the equation as it was given."""
    return roots


@pattern(
    "valid-root-rejected",
    skill=_SKILL,
    source="common practice",
    shows=(
        "solve | sqrt(x + 6) = x | -2",
        "solve | sqrt(x - 2) + 2 = x | 3",
    ),
    silent=(
        "solve | sqrt(x + 6) = x | 3",
        "solve | sqrt(x - 2) + 2 = x | 5",
    ),
)
@instead_of(keep_solutions, RADICAL)
def valid_root_rejected(
    roots: Roots, k: Surd, inside: Coefficients, other: Coefficients
) -> Choices | None:
    """Rejects a root that solves the equation."""
    return Choices(frozenset({one}) for one in roots) if len(roots) == 2 else None


@pattern(
    "squared-term-by-term",
    skill=_SKILL,
    source="T. L. Scofield 2003, Top Algebra Errors Made by Calculus Students",
    shows=(
        "solve | sqrt(x) + 3 = 7 | 40",
        "solve | sqrt(2x) + 1 = 5 | 12",
    ),
    silent=(
        "solve | sqrt(x) + 3 = 7 | 16",
        "solve | sqrt(x) = 7 | 49",
    ),
)
@instead_of(square_at_once, RADICAL)
def squared_term_by_term(start: Radical) -> Choices | None:
    """Squares each term of a sum, as if sqrt(x) + 3 = 7 were x + 9 = 49."""
    if len(start.rest) != 1 or len(start.right) > 1:
        return None
    square = multiplied(start.rest, start.rest)
    negative = start.rest[0].real_sign() < 0
    inside, right = scaled(start.inside, start.k * start.k), multiplied(start.right, start.right)
    sides = [(added(inside, square), right)]
    if negative:
        sides.append((added(inside, scaled(square, Surd.of(-1))), right))
    return Choices(sides)


@pattern(
    "one-side-squared",
    skill=_SKILL,
    source="South African examiners' comments, November 2024",
    shows=(
        "solve | sqrt(x + 5) = 3 | -2",
        "solve | sqrt(3x - 5) = 5 | 10/3",
    ),
    silent=(
        "solve | sqrt(x + 5) = 3 | 4",
        "solve | sqrt(x + 5) = 1 | -4",
    ),
)
@instead_of(square_sides, RADICAL)
def one_side_squared(k: Surd, inside: Coefficients, other: Coefficients) -> Sides | None:
    """Removes the radical on the one side and leaves the other side as it is."""
    return (scaled(inside, k), other) if k == 1 else (scaled(inside, k * k), other)


@pattern(
    "outside-coefficient-not-squared",
    skill=_SKILL,
    source="OpenStax Intermediate Algebra 2e, 8.6 (caution)",
    shows=(
        "solve | 2sqrt(x) = 6 | 18",
        "solve | 3sqrt(3x - 5) - 8 = 4 | 53/3",
    ),
    silent=(
        "solve | 2sqrt(x) = 6 | 9",
        "solve | sqrt(x) = 6 | 36",
    ),
)
@instead_of(square_sides, RADICAL)
def outside_coefficient_not_squared(k: Surd, inside: Coefficients, other: Coefficients) -> Sides:
    """Squares the radical and leaves the number before it as it is."""
    return scaled(inside, k), multiplied(other, other)


@pattern(
    "right-side-doubled-not-squared",
    skill=_SKILL,
    source="common practice",
    shows=(
        "solve | sqrt(x + 5) = 3 | 1",
        "solve | sqrt(2x) - 1 = 4 | x = 5",
    ),
    silent=(
        "solve | sqrt(x + 5) = 3 | 4",
        "solve | sqrt(x + 5) = 2 | -1",
    ),
)
@instead_of(square_sides, RADICAL)
def right_side_doubled_not_squared(
    k: Surd, inside: Coefficients, other: Coefficients
) -> Sides | None:
    """Doubles the right side instead of squaring it."""
    return (scaled(inside, k * k), scaled(other, Surd.of(2))) if len(other) == 1 else None


@square_spread_over_sum.also(square_sides, RADICAL)
def _middle_term_lost(k: Surd, inside: Coefficients, other: Coefficients) -> Sides | None:
    if len(other) != 2 or not other[0]:
        return None
    squared = (other[0] * other[0], Surd.of(0), other[1] * other[1])
    return scaled(inside, k * k), squared


@middle_term_not_doubled.also(square_sides, RADICAL)
def _middle_term_once(k: Surd, inside: Coefficients, other: Coefficients) -> Sides | None:
    if len(other) != 2 or not other[0]:
        return None
    return scaled(inside, k * k), (other[0] * other[0], other[0] * other[1], other[1] * other[1])


@square_spread_over_sum.also(square_two, RADICAL)
def _two_radicals_squared_apart(start: TwoRadicals) -> Radical | None:
    if not start.constant:
        return None
    square = (start.constant * start.constant,)
    rest = added(square, start.second if start.side == -1 else scaled(start.second, Surd.of(-1)))
    return Radical(Surd.of(0), (), rest, start.first)


@second_root_left_out.also(report_all, RADICAL, POWER)
def _one_solution_reported(roots: Roots) -> Choices | None:
    return Choices(frozenset({one}) for one in roots) if len(roots) > 1 else None
