"""Errors in finding the constant that makes a perfect square."""

from __future__ import annotations

from pipeline.exact.numbers import Surd
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.operations import square

_SKILL = "completing the square"
_CONSTANT = "constant of a square"


@pattern(
    "halved-after-squaring",
    skill=_SKILL,
    source="common practice",
    shows=(
        "square-constant | x^2 - 12x | 72",
        "square-constant | x^2 + 6x | 18",
    ),
    silent=(
        "square-constant | x^2 - 12x | 36",
        "square-constant | x^2 - 12x | 144",
    ),
)
@instead_of(square, _CONSTANT)
def halved_after_squaring(number: Surd, whole: Surd) -> Surd:
    """Squares the coefficient of the unknown first and halves the square."""
    return whole * whole / 2


@pattern(
    "square-keeps-minus",
    skill=_SKILL,
    source="from memory; OpenStax Elementary Algebra 2e, 6.7",
    shows=(
        "square-constant | x^2 - 13x | -169/4",
        "square-constant | x^2 - 6x | -9",
    ),
    silent=(
        "square-constant | x^2 - 13x | 169/4",
        "square-constant | x^2 + 6x | -9",
    ),
)
@instead_of(square, _CONSTANT)
def square_keeps_minus(number: Surd, whole: Surd) -> Surd | None:
    """Leaves a minus sign on the square of a negative number."""
    return -(number * number) if number.is_real and number.real_sign() < 0 else None
