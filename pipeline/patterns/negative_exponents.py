"""Errors with exponents that are zero, negative or fractions."""

from __future__ import annotations

from fractions import Fraction

from pipeline.exact.trees import Negation, Node, Power, Product, Quotient
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.rewriting.operations import drop_minus, multiply, raise_to_power
from pipeline.procedures.rewriting.terms import (
    ONE,
    ZERO,
    factors_of,
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
    "negative-exponent-as-power-of-ten",
    skill=_SKILL,
    source="Farah 1993, label 3 of Otero, Druga and Lan 2024",
    shows=(
        "evaluate | 5^(-2) | 0.05",
        "evaluate | 7^(-1) | 0.7",
    ),
    silent=(
        "evaluate | 5^(-2) | 1/25",
        "evaluate | 5^2 | 500",
    ),
)
@instead_of(raise_to_power)
def negative_exponent_as_power_of_ten(place: Power) -> Node | None:
    """Multiplies the base by that power of ten: 5 to the power -2 as 5 hundredths."""
    size = _negative_exponent(place)
    if size is None or size.denominator != 1 or size > 9:
        return None
    return product_of(place.base, number(Fraction(1, 10 ** int(size))))


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
    "zero-exponent-takes-coefficient",
    skill=_SKILL,
    source="OpenStax Elementary Algebra 2e, 6.5 (what the exponent belongs to)",
    shows=(
        "simplify | 5x^0 | 1",
        "simplify | 4x^0y | y",
        "evaluate | 6*2^0 | 1",
    ),
    silent=(
        "simplify | 5x^0 | 5",
        "simplify | (5x)^0 | 1",
        "simplify | 5x^0 | 0",
    ),
)
@instead_of(multiply)
def zero_exponent_takes_coefficient(place: Product) -> Node | None:
    """Lets the exponent zero reach the number before its base, as if 5x^0 were (5x)^0."""
    factors = factors_of(place)
    zeros = [one for one in factors if isinstance(one, Power) and rational(one.exponent) == 0]
    others = [one for one in factors if one not in zeros and value_of(one) is None]
    return product_of(*others) if zeros and len(others) + len(zeros) < len(factors) else None


@zero_exponent_takes_coefficient.also(
    drop_minus,
    shows=("simplify | -3y^0 | 1",),
    silent=("simplify | -3y^0 | -3",),
)
def _minus_reached_too(place: Negation) -> Node | None:
    inside = place.argument
    return (
        zero_exponent_takes_coefficient.moves[0].version(inside)
        if isinstance(inside, Product)
        else None
    )


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
