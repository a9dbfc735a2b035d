"""Errors with exponents that are fractions, and with powers of fractions."""

from __future__ import annotations

from fractions import Fraction

from pipeline.exact.trees import Node, Power, Quotient
from pipeline.patterns.completing_the_square import fraction_square_keeps_denominator
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.rewriting.operations import raise_to_power
from pipeline.procedures.rewriting.terms import (
    fraction_parts,
    number,
    product_of,
    rational,
)

_SKILL = "exponents"


def _half_power(place: Power) -> int:
    """1 or -1 for an exponent of plus or minus one half, else 0."""
    exponent = rational(place.exponent)
    return 0 if exponent is None or abs(exponent) != Fraction(1, 2) else 1 if exponent > 0 else -1


@pattern(
    "half-power-as-half",
    skill=_SKILL,
    source="Robinson 2013 (96 answers on powers)",
    shows=(
        "evaluate | 14^(1/2) | 7",
        "evaluate | 36^(1/2) | 18",
    ),
    silent=(
        "evaluate | 14^(1/2) | sqrt(14)",
        "evaluate | 36^(1/2) | 6",
    ),
)
@instead_of(raise_to_power)
def half_power_as_half(place: Power) -> Node | None:
    """Takes half of the base for the exponent one half."""
    sign = _half_power(place)
    return product_of(number(Fraction(sign, 2)), place.base) if sign else None


@pattern(
    "half-power-as-times-five",
    skill=_SKILL,
    source="Robinson 2013 (96 answers on powers)",
    shows=(
        "evaluate | 12^(1/2) | 60",
        "evaluate | 10^(1/2) | 50",
    ),
    silent=(
        "evaluate | 12^(1/2) | 2sqrt(3)",
        "evaluate | 12^(1/2) | 6",
    ),
)
@instead_of(raise_to_power)
def half_power_as_times_five(place: Power) -> Node | None:
    """Multiplies the base by five for the exponent one half, written 0.5."""
    return product_of(number(5), place.base) if _half_power(place) == 1 else None


@pattern(
    "fraction-power-divides",
    skill=_SKILL,
    source="common practice",
    shows=(
        "evaluate | 27^(1/3) | 9",
        "evaluate | 8^(2/3) | 16/3",
    ),
    silent=(
        "evaluate | 27^(1/3) | 3",
        "evaluate | 27^(1/3) | 81",
    ),
)
@instead_of(raise_to_power)
def fraction_power_divides(place: Power) -> Node | None:
    """Multiplies the base by a fraction that stands as its exponent."""
    exponent = rational(place.exponent)
    if exponent is None or exponent.denominator == 1 or abs(exponent) == Fraction(1, 2):
        return None
    return product_of(number(exponent), place.base)


@fraction_square_keeps_denominator.also(
    raise_to_power,
    shows=("evaluate | (3/7)^2 | 9/7", "evaluate | (2/5)^3 | 8/5"),
    silent=("evaluate | (3/7)^2 | 9/49", "evaluate | (3/7)^2 | 3/49"),
)
def _numerator_raised_only(place: Power) -> Node | None:
    """Raises the numerator of a fraction and leaves the denominator as it is."""
    parts, exponent = fraction_parts(place.base), rational(place.exponent)
    if parts is None or exponent is None or exponent < 2:
        return None
    return Quotient(Power(parts[0], place.exponent), parts[1])


@pattern(
    "fraction-power-keeps-numerator",
    skill=_SKILL,
    source="common practice",
    shows=(
        "evaluate | (3/7)^2 | 3/49",
        "evaluate | (2/5)^3 | 2/125",
    ),
    silent=(
        "evaluate | (3/7)^2 | 9/49",
        "evaluate | (3/7)^2 | 9/7",
    ),
)
@instead_of(raise_to_power)
def fraction_power_keeps_numerator(place: Power) -> Node | None:
    """Raises the denominator of a fraction and leaves the numerator as it is."""
    parts, exponent = fraction_parts(place.base), rational(place.exponent)
    if parts is None or exponent is None or exponent < 2:
        return None
    return Quotient(parts[0], Power(parts[1], place.exponent))
