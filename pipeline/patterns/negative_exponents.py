"""Errors with exponents that are zero, negative or fractions."""

from __future__ import annotations

from fractions import Fraction

from pipeline.exact.trees import Negation, Node, Power, Product, Quotient
from pipeline.patterns.completing_the_square import fraction_square_keeps_denominator
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.rewriting.operations import multiply, raise_to_power
from pipeline.procedures.rewriting.terms import (
    ONE,
    ZERO,
    factors_of,
    fraction_parts,
    number,
    over,
    power,
    product_of,
    rational,
    value_of,
)

_SKILL = "exponents"


def _negative_exponent(place: Power) -> Fraction | None:
    """The size of a negative exponent."""
    exponent = rational(place.exponent)
    return -exponent if exponent is not None and exponent < 0 else None


@pattern(
    "negative-exponent-as-negative",
    skill=_SKILL,
    source="Robinson 2013 (96 answers on powers); Scofield 2003",
    shows=(
        "simplify | 5^(-1) | -5",
        "evaluate | 3^(-2) | -9",
        "evaluate | 25^(-1/2) | -5",
    ),
    silent=(
        "simplify | 5^(-1) | 1/5",
        "evaluate | 3^(-2) | -1/9",
    ),
)
@instead_of(raise_to_power)
def negative_exponent_as_negative(place: Power) -> Node | None:
    """Gives the power a minus sign because its exponent has one."""
    size = _negative_exponent(place)
    return Negation(power(place.base, size)) if size is not None else None


@pattern(
    "negative-exponent-as-negative-reciprocal",
    skill=_SKILL,
    source="common practice",
    shows=(
        "evaluate | 3^(-2) | -1/9",
        "simplify | x^(-4) | -1/x^4",
    ),
    silent=(
        "evaluate | 3^(-2) | 1/9",
        "evaluate | 3^(-2) | -9",
    ),
)
@instead_of(raise_to_power)
def negative_exponent_as_negative_reciprocal(place: Power) -> Node | None:
    """Takes the reciprocal for a negative exponent and a minus sign as well."""
    size = _negative_exponent(place)
    return Negation(Quotient(ONE, power(place.base, size))) if size is not None else None


@pattern(
    "negative-exponent-ignored",
    skill=_SKILL,
    source="common practice",
    shows=(
        "evaluate | 3^(-2) | 9",
        "evaluate | 1/(4^(-3)) | 1/64",
    ),
    silent=(
        "evaluate | 3^(-2) | 1/9",
        "evaluate | 3^2 | 9",
    ),
)
@instead_of(raise_to_power)
def negative_exponent_ignored(place: Power) -> Node | None:
    """Works a negative exponent as if it were positive."""
    size = _negative_exponent(place)
    return power(place.base, size) if size is not None else None


@pattern(
    "coefficient-moved-with-negative-exponent",
    skill=_SKILL,
    source="OpenStax Elementary Algebra 2e, 6.7; Cangelosi et al. 2013, from memory",
    shows=(
        "simplify | 3x^(-2) | 1/(3x^2)",
        "simplify | 5a^(-3) | 1/(5a^3)",
    ),
    silent=(
        "simplify | 3x^(-2) | 3/x^2",
        "simplify | (3x)^(-2) | 1/(9x^2)",
    ),
)
@instead_of(multiply)
def coefficient_moved_with_negative_exponent(place: Product) -> Node | None:
    """Moves the number in front to the denominator along with the negative power."""
    factors = factors_of(place)
    moved = [one for one in factors if isinstance(one, Power) and _negative_exponent(one)]
    numbers = [one for one in factors if value_of(one) is not None and one not in moved]
    if len(moved) != 1 or not numbers:
        return None
    size = _negative_exponent(moved[0])
    if size is None:
        return None
    rest = [one for one in factors if one not in moved and one not in numbers]
    return over(product_of(*rest), product_of(*numbers, power(moved[0].base, size)))


@pattern(
    "zero-exponent-as-zero",
    skill=_SKILL,
    source="Cangelosi et al. 2013, from memory",
    shows=(
        "simplify | 15^0 | 0",
        "simplify | 3x^0 | 0",
    ),
    silent=(
        "simplify | 15^0 | 1",
        "simplify | 15^0 | 15",
    ),
)
@instead_of(raise_to_power)
def zero_exponent_as_zero(place: Power) -> Node | None:
    """Takes a power with exponent zero for zero."""
    return ZERO if rational(place.exponent) == 0 else None


@pattern(
    "zero-exponent-as-base",
    skill=_SKILL,
    source="common practice",
    shows=(
        "simplify | 15^0 | 15",
        "simplify | (4x)^0 | 4x",
    ),
    silent=(
        "simplify | 15^0 | 1",
        "simplify | 15^0 | 0",
    ),
)
@instead_of(raise_to_power)
def zero_exponent_as_base(place: Power) -> Node | None:
    """Leaves the base unchanged where the exponent is zero."""
    return place.base if rational(place.exponent) == 0 else None


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
