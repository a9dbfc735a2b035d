"""Errors with radicals."""

from __future__ import annotations

from pipeline.exact.numbers import Surd, square_part
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.operations import root
from pipeline.procedures.walk import Choices


@pattern(
    "square-factor-left-unrooted",
    skill="radicals",
    source="from memory",
    shows=(
        "solve | (x + 5)^2 = 63 | 18.812, -28.812",
        "solve | x^2 = 12 | 4sqrt(3), -4sqrt(3)",
    ),
    silent=(
        "solve | x^2 = 12 | 2sqrt(3), -2sqrt(3)",
        "solve | x^2 = 36 | 36, -36",
    ),
)
@instead_of(root, "square-root property", "completing the square", "quadratic formula")
def square_factor_left_unrooted(radicand: Surd) -> Choices | None:
    """Takes a square factor out of a radical without rooting it: sqrt(20) becomes 4 sqrt(5)."""
    if not radicand.is_rational or not radicand:
        return None
    value = radicand.as_fraction()
    outside, inside = square_part(value.numerator)
    below_outside, below_inside = square_part(value.denominator)
    below = below_outside
    if below_inside != 1:
        outside, inside = square_part(value.numerator * value.denominator)
        below = value.denominator
    if inside == 1:
        return None
    return Choices(
        Surd(((inside, taken * outside),), below)
        for taken in range(2, min(outside, 200) + 1)
        if outside % taken == 0
    )
