"""Errors in working out a discriminant."""

from __future__ import annotations

from pipeline.exact.numbers import Surd
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.operations import difference, four_a_c, square

_SKILL = "discriminant"
_FORMULA = "quadratic formula"
_PLACE = "discriminant"


@pattern(
    "b-not-squared",
    skill=_SKILL,
    source="from memory",
    shows=(
        "discriminant | x^2 + 5x + 4 = 0 | -11",
        "discriminant | 2x^2 - 3x - 9 = 0 | 69",
        "solve | 3x^2 - 6x - 2 = 0 | 1 + sqrt(2)/2, 1 - sqrt(2)/2",
    ),
    silent=(
        "discriminant | x^2 + 5x + 4 = 0 | 9",
        "discriminant | x^2 + 5x + 4 = 0 | -6",
    ),
)
@instead_of(square, _FORMULA, _PLACE)
def b_not_squared(number: Surd, whole: Surd) -> Surd:
    """Uses b in place of its square in the discriminant."""
    return number


@pattern(
    "four-a-c-added-up",
    skill=_SKILL,
    source="from memory",
    shows=(
        "discriminant | 2x^2 + 5x + 1 = 0 | 18",
        "discriminant | 3x^2 - 7x + 2 = 0 | 40",
    ),
    silent=(
        "discriminant | 2x^2 + 5x + 1 = 0 | 17",
        "discriminant | 2x^2 + 5x + 1 = 0 | 33",
    ),
)
@instead_of(four_a_c, _FORMULA, _PLACE)
def four_a_c_added_up(a: Surd, c: Surd) -> Surd:
    """Adds 4, a and c instead of multiplying them."""
    return 4 + a + c


@pattern(
    "discriminant-rooted",
    skill=_SKILL,
    source="a public list of mistakes",
    shows=(
        "discriminant | x^2 + 5x + 4 = 0 | 3",
        "discriminant | x^2 + 3x + 1 = 0 | sqrt(5)",
    ),
    silent=(
        "discriminant | x^2 + 5x + 4 = 0 | 9",
        "discriminant | x^2 + 5x + 4 = 0 | -1, -4",
    ),
)
@instead_of(difference, _PLACE)
def discriminant_rooted(square_of_b: Surd, product: Surd) -> Surd | None:
    """Gives the square root of the discriminant."""
    value = square_of_b - product
    return Surd.root_of(value) if value.real_sign() > 0 else None
