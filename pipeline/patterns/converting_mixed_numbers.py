"""Errors in writing mixed numbers as improper fractions, and the reverse."""

from __future__ import annotations

from fractions import Fraction

from pipeline.exact.numbers import Surd
from pipeline.patterns.registry import instead_of, pattern
from pipeline.patterns.whole_numbers_and_fractions import whole_number_added_to_numerator
from pipeline.tasks.convert import CONVERSION, Conversion, rescale

_SKILL = "conversions"


@whole_number_added_to_numerator.also(
    rescale,
    CONVERSION,
    shows=(
        "convert | 2 1/3 to improper fraction | 3/3",
        "convert | 3 2/5 to improper fraction | 5/5",
    ),
    silent=("convert | 2 1/3 to improper fraction | 7/3",),
)
def _whole_added_unscaled(start: Conversion) -> Surd | None:
    """Adds the whole number of a mixed number to the numerator."""
    if not start.mixed or start.target == "mixed":
        return None
    whole, above, below = start.mixed
    return Surd.of(Fraction(whole + above, below))


@pattern(
    "whole-multiplied-by-numerator",
    skill=_SKILL,
    source="common practice",
    shows=(
        "convert | 2 1/3 to improper fraction | 5/3",
        "convert | 3 2/5 to improper fraction | 11/5",
    ),
    silent=(
        "convert | 2 1/3 to improper fraction | 7/3",
        "convert | 5/3 to mixed number | 2 1/3",
    ),
)
@instead_of(rescale, CONVERSION)
def whole_multiplied_by_numerator(start: Conversion) -> Surd | None:
    """Multiplies the whole number by the numerator and adds the denominator."""
    if not start.mixed or start.target == "mixed":
        return None
    whole, above, below = start.mixed
    return Surd.of(Fraction(whole * above + below, below))


@pattern(
    "quotient-and-remainder-swapped",
    skill=_SKILL,
    source="common practice",
    shows=(
        "convert | 7/3 to mixed number | 1 2/3",
        "convert | 17/5 to mixed number | 2 3/5",
    ),
    silent=(
        "convert | 7/3 to mixed number | 2 1/3",
        "convert | 7/3 to decimal | 5/3",
    ),
)
@instead_of(rescale, CONVERSION)
def quotient_and_remainder_swapped(start: Conversion) -> Surd | None:
    """Writes the remainder as the whole number and the quotient as the numerator."""
    parts = _divided(start)
    return None if parts is None else Surd.of(parts[1] + Fraction(parts[0], parts[2]))


@pattern(
    "remainder-over-numerator",
    skill=_SKILL,
    source="common practice",
    shows=(
        "convert | 7/3 to mixed number | 2 1/7",
        "convert | 17/5 to mixed number | 3 2/17",
    ),
    silent=(
        "convert | 7/3 to mixed number | 2 1/3",
        "convert | 15/5 to mixed number | 3",
    ),
)
@instead_of(rescale, CONVERSION)
def remainder_over_numerator(start: Conversion) -> Surd | None:
    """Writes the remainder over the number that was divided."""
    parts = _divided(start)
    if parts is None:
        return None
    return Surd.of(parts[0] + Fraction(parts[1], int(start.above.as_fraction())))


def _divided(start: Conversion) -> tuple[int, int, int] | None:
    """Quotient, remainder and divisor of an improper fraction that is to be a mixed number."""
    if start.target != "mixed" or start.source != "fraction" or start.mixed:
        return None
    above, below = (one.as_fraction() for one in (start.above, start.below))
    if above <= below or below < 2 or not above % below:
        return None
    return int(above // below), int(above % below), int(below)
