"""Errors with the quadratic formula and its discriminant."""

from __future__ import annotations

from pipeline.exact.numbers import Surd
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.equations import ZERO, Equation
from pipeline.procedures.operations import (
    Roots,
    negate,
    quotients,
    read_coefficients,
    root,
    square,
)

_SKILL = "quadratic formula"
_FORMULA = "quadratic formula"
_DISCRIMINANT = "discriminant"
_SQUARE = "completing the square"


@pattern(
    "minus-b-not-negated",
    skill=_SKILL,
    source="public study pages; a case study of ten Year 11 students",
    shows=(
        "solve | 4x^2 - 8x + 1 = 0 | -1 + sqrt(3)/2; -1 - sqrt(3)/2",
        "solve | x^2 - 6x + 5 = 0 | -1, -5",
    ),
    silent=(
        "solve | x^2 - 6x + 5 = 0 | 1, 5",
        "solve | x^2 - 6x + 5 = 0 | -1, 5",
    ),
)
@instead_of(negate, _FORMULA)
def minus_b_not_negated(b: Surd) -> Surd:
    """Starts the formula with b in place of -b."""
    return b


@pattern(
    "divided-by-a",
    skill=_SKILL,
    source="from memory",
    shows=(
        "solve | 4x^2 + 10x + 1 = 0 | -0.209, -4.791",
        "solve | 2x^2 + 8x + 6 = 0 | -2, -6",
    ),
    silent=(
        "solve | 2x^2 + 8x + 6 = 0 | -1, -3",
        "solve | 2x^2 + 8x + 6 = 0 | -1, -6",
    ),
)
@instead_of(quotients, _FORMULA)
def divided_by_a(minus_b: Surd, signed: tuple[Surd, ...], a: Surd) -> Roots:
    """Divides by a instead of 2a in the formula."""
    return frozenset((minus_b + one) / a for one in signed)


@pattern(
    "divided-by-two",
    skill=_SKILL,
    source="from memory",
    shows=(
        "solve | 5x^2 - 5x - 8 = 0 | x = 5/2 ± √(185)/2",
        "solve | 3x^2 + 8x + 4 = 0 | -2, -6",
    ),
    silent=(
        "solve | 3x^2 + 8x + 4 = 0 | -2, -2/3",
        "solve | x^2 + 8x + 12 = 0 | -3, -9",
    ),
)
@instead_of(quotients, _FORMULA)
def divided_by_two(minus_b: Surd, signed: tuple[Surd, ...], a: Surd) -> Roots:
    """Divides by 2 instead of 2a in the formula."""
    return frozenset((minus_b + one) / 2 for one in signed)


@pattern(
    "only-root-divided",
    skill=_SKILL,
    source="a public question page, 2015; public study pages; OpenStax Elementary Algebra 2e, 8.1",
    shows=(
        "solve | 2x^2 - 8x - 5 = 0 | sqrt(26)/2 + 8, 8 - sqrt(26)/2",
        "solve | 2x^2 + 8x + 6 = 0 | -7, -9",
    ),
    silent=(
        "solve | 2x^2 + 8x + 6 = 0 | -1, -3",
        "solve | 2x^2 + 8x + 6 = 0 | 7, 9",
    ),
)
@instead_of(quotients, _FORMULA)
def only_root_divided(minus_b: Surd, signed: tuple[Surd, ...], a: Surd) -> Roots:
    """Divides the radical alone by 2a, and not the number before it."""
    return frozenset(minus_b + one / (2 * a) for one in signed)


@pattern(
    "only-b-divided",
    skill=_SKILL,
    source="from memory; OpenStax Elementary Algebra 2e, 8.1",
    shows=(
        "solve | 2x^2 - 12x + 3 = 0 | 3 + 2sqrt(30); 3 - 2sqrt(30)",
        "solve | 2x^2 + 8x + 6 = 0 | 2, -6",
    ),
    silent=(
        "solve | 2x^2 + 8x + 6 = 0 | -1, -3",
        "solve | 2x^2 + 8x + 6 = 0 | -2, 6",
    ),
)
@instead_of(quotients, _FORMULA)
def only_b_divided(minus_b: Surd, signed: tuple[Surd, ...], a: Surd) -> Roots:
    """Divides -b alone by 2a, and not the radical."""
    return frozenset(minus_b / (2 * a) + one for one in signed)


@pattern(
    "discriminant-not-rooted",
    skill=_SKILL,
    source="from memory",
    shows=(
        "solve | 4x^2 - 11x - 6 = 0 | 57/2, -103/4",
        "solve | x^2 + 5x + 4 = 0 | 2, -7",
    ),
    silent=(
        "solve | x^2 + 5x + 4 = 0 | -1, -4",
        "solve | x^2 + 5x + 4 = 0 | 9",
    ),
)
@instead_of(root, _FORMULA)
def discriminant_not_rooted(radicand: Surd) -> Surd:
    """Forgets to take the root of the discriminant."""
    return radicand


@pattern(
    "right-side-used-as-c",
    skill=_SKILL,
    source="Didis and Erbas 2015; public study pages",
    shows=(
        r"solve | 2x^2 - 12x = 9 | x=3\pm \frac{3 \sqrt{2}}{2}",
        "solve | x^2 = 5x - 6 | 1, -6",
    ),
    silent=(
        "solve | x^2 = 5x - 6 | 2, 3",
        "solve | 2x^2 - 12x - 9 = 0 | 3 + 3sqrt(6)/2, 3 - 3sqrt(6)/2",
    ),
)
@instead_of(read_coefficients, _FORMULA)
def right_side_used_as_c(equation: Equation) -> Equation | None:
    """Reads a, b and c off the equation before it is brought to zero form."""
    if not any(equation.right):
        return None
    a, b, c = (one or two for one, two in zip(equation.left, equation.right, strict=True))
    return Equation((a, b, c), (ZERO, ZERO, ZERO))


@pattern(
    "square-means-double",
    skill=_SKILL,
    source="Slavit 2006; from memory",
    shows=(
        "solve | 3x^2 - 6x - 2 = 0 | x=sqrt(3)/3 + 1 or x=1 - sqrt(3)/3",
        "discriminant | 3x^2 + 8x + 4 = 0 | -32",
        "discriminant | x^2 + 5x + 4 = 0 | -6",
    ),
    silent=(
        "solve | 3x^2 - 6x - 2 = 0 | x=1 + sqrt(15)/3 or x=1 - sqrt(15)/3",
        "discriminant | 3x^2 + 8x + 4 = 0 | 16",
        "discriminant | x^2 + 2x + 1 = 0 | 0",
    ),
)
@instead_of(square, _FORMULA, _DISCRIMINANT, _SQUARE)
def square_means_double(number: Surd, whole: Surd) -> Surd:
    """Doubles a number where it should be squared."""
    return 2 * number
