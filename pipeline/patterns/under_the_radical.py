"""Errors in b^2 - 4ac, alone or in the quadratic formula."""

from __future__ import annotations

from pipeline.exact.numbers import Surd
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.operations import difference, four_a_c, square

_SKILL = "quadratic formula"
_FORMULA = "quadratic formula"
_DISCRIMINANT = "discriminant"


@pattern(
    "negative-b-squared-negative",
    skill=_SKILL,
    source="Cangelosi et al. 2013; OpenStax Elementary Algebra 2e, 6.7; public study pages",
    shows=(
        "solve | 2x^2 - 6x - 6 = 0 | x = 3/2 ± √(3)/2",
        "discriminant | 3x^2 - 5x + 7 = 0 | -109",
        "discriminant | x^2 - 4x + 3 = 0 | -28",
    ),
    silent=(
        "solve | 2x^2 - 6x - 6 = 0 | x = 3/2 ± √(21)/2",
        "discriminant | 3x^2 + 5x + 7 = 0 | -109",
        "discriminant | x^2 - 4x + 3 = 0 | 4",
    ),
)
@instead_of(square, _FORMULA, _DISCRIMINANT)
def negative_b_squared_negative(number: Surd, whole: Surd) -> Surd | None:
    """Takes the square of a negative b as negative."""
    return -(number * number) if number.is_real and number.real_sign() < 0 else None


@pattern(
    "four-ac-added",
    skill=_SKILL,
    source="Zakaria, Ibrahim and Maat 2010; a public question page, 2015; from memory",
    shows=(
        "solve | 3x^2 + 7x + 3 = 0 | 0.370, -2.703",
        "discriminant | 2x^2 - 3x - 9 = 0 | -63",
        "discriminant | x^2 + 5x + 4 = 0 | 41",
    ),
    silent=(
        "solve | 3x^2 + 7x + 3 = 0 | -0.566, -1.768",
        "discriminant | 2x^2 - 3x - 9 = 0 | 81",
        "discriminant | x^2 + 5x + 4 = 0 | 9",
    ),
)
@instead_of(difference, _FORMULA, _DISCRIMINANT)
def four_ac_added(square_of_b: Surd, product: Surd) -> Surd:
    """Adds 4ac in the discriminant instead of subtracting it."""
    return square_of_b + product


@pattern(
    "four-left-out",
    skill=_SKILL,
    source="common practice",
    shows=(
        "solve | 3x^2 + 10x + 4 = 0 | -5/3 + sqrt(22)/3; -5/3 - sqrt(22)/3",
        "discriminant | 2x^2 + 9x + 1 = 0 | 79",
        "discriminant | x^2 + 5x + 4 = 0 | 21",
    ),
    silent=(
        "solve | 3x^2 + 10x + 4 = 0 | -5/3 + sqrt(13)/3; -5/3 - sqrt(13)/3",
        "discriminant | 2x^2 + 9x + 1 = 0 | 73",
    ),
)
@instead_of(four_a_c, _FORMULA, _DISCRIMINANT)
def four_left_out(a: Surd, c: Surd) -> Surd:
    """Uses ac in place of 4ac in the discriminant."""
    return a * c


@pattern(
    "a-left-out-of-discriminant",
    skill=_SKILL,
    source="from memory",
    shows=(
        "solve | 5x^2 - 9x + 3 = 0 | sqrt(69)/10 + 9/10, 9/10 - sqrt(69)/10",
        "solve | 2x^2 + 5x + 1 = 0 | -5/4 + sqrt(21)/4, -5/4 - sqrt(21)/4",
    ),
    silent=(
        "solve | 2x^2 + 5x + 1 = 0 | -5/4 + sqrt(17)/4, -5/4 - sqrt(17)/4",
        "solve | x^2 + 5x + 1 = 0 | -5/2 + sqrt(17)/2, -5/2 - sqrt(17)/2",
    ),
)
@instead_of(four_a_c, _FORMULA, _DISCRIMINANT)
def a_left_out_of_discriminant(a: Surd, c: Surd) -> Surd:
    """Uses 4c in place of 4ac in the discriminant."""
    return 4 * c
