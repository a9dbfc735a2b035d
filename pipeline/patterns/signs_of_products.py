"""Errors with the signs of products, quotients, powers and opposites."""

from __future__ import annotations

from pipeline.exact.trees import Absolute, Negation, Node, Power, Product, Quotient
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.rewriting.operations import (
    divide,
    drop_minus,
    multiply,
    raise_to_power,
    take_absolute,
)
from pipeline.procedures.rewriting.terms import (
    factors_of,
    over,
    product_of,
    signed,
    value_of,
    whole,
)

_SKILL = "signs"


@pattern(
    "minus-of-negative-stays-minus",
    skill=_SKILL,
    source="A. G. Anderson 1982; Vlassis 2004, from memory",
    shows=(
        "evaluate | 6 - (-4) | 2",
        "evaluate | -(-1) | -1",
        "simplify | 8m - (-5m) | 3m",
    ),
    silent=(
        "evaluate | 6 - (-4) | 10",
        "evaluate | 6 - 4 | 10",
    ),
)
@instead_of(drop_minus)
def minus_of_negative_stays_minus(place: Negation) -> Node | None:
    """Keeps a minus where the opposite of a negative number is taken."""
    return place.argument if isinstance(place.argument, Negation) else None


@pattern(
    "product-of-negatives-negative",
    skill=_SKILL,
    source="A. G. Anderson 1982",
    shows=(
        "evaluate | (-6)*(-3) | -18",
        "evaluate | (-20)/(-4) | -5",
    ),
    silent=(
        "evaluate | (-6)*(-3) | 18",
        "evaluate | (-6)*3 | -18",
    ),
)
@instead_of(multiply)
def product_of_negatives_negative(place: Product) -> Node | None:
    """Gives the product or quotient of two negatives a minus sign."""
    factors = factors_of(place)
    if sum(isinstance(factor, Negation) for factor in factors) != 2:
        return None
    return Negation(product_of(*(signed(factor)[1] for factor in factors)))


@product_of_negatives_negative.also(divide)
def _quotient_of_negatives(place: Quotient) -> Node | None:
    if not (isinstance(place.numerator, Negation) and isinstance(place.denominator, Negation)):
        return None
    return Negation(over(place.numerator.argument, place.denominator.argument))


@pattern(
    "product-of-unlike-signs-positive",
    skill=_SKILL,
    source="common practice",
    shows=(
        "evaluate | -6 * 8 | 48",
        "evaluate | 24/(-8) | 3",
    ),
    silent=(
        "evaluate | -6 * 8 | -48",
        "evaluate | -6 + 8 | 2",
    ),
)
@instead_of(multiply)
def product_of_unlike_signs_positive(place: Product) -> Node | None:
    """Loses the minus sign of a product or quotient of two numbers with different signs."""
    factors = factors_of(place)
    if sum(isinstance(factor, Negation) for factor in factors) != 1 or value_of(place) is None:
        return None
    return product_of(*(signed(factor)[1] for factor in factors))


@product_of_unlike_signs_positive.also(drop_minus)
def _minus_before_product(place: Negation) -> Node | None:
    inside = place.argument
    return inside if isinstance(inside, Product) and value_of(inside) is not None else None


@product_of_unlike_signs_positive.also(divide)
def _quotient_of_unlike_signs(place: Quotient) -> Node | None:
    above, below = signed(place.numerator), signed(place.denominator)
    if above[0] == below[0] or value_of(place) is None:
        return None
    return over(above[1], below[1])


@pattern(
    "odd-power-loses-minus",
    skill=_SKILL,
    source="common practice",
    shows=(
        "evaluate | (-2)^3 | 8",
        "simplify | (-x)^5 | x^5",
    ),
    silent=(
        "evaluate | (-2)^3 | -8",
        "evaluate | (-2)^4 | 16",
    ),
)
@instead_of(raise_to_power)
def odd_power_loses_minus(place: Power) -> Node | None:
    """Makes an odd power of a negative number positive."""
    exponent = whole(place.exponent)
    if not isinstance(place.base, Negation) or exponent is None or exponent < 3 or not exponent % 2:
        return None
    return Power(place.base.argument, place.exponent)


@pattern(
    "absolute-value-keeps-minus",
    skill=_SKILL,
    source="common practice",
    shows=(
        "evaluate | abs(-5) | -5",
        "evaluate | abs(3 - 10) | -7",
    ),
    silent=(
        "evaluate | abs(-5) | 5",
        "evaluate | abs(5) | -5",
    ),
)
@instead_of(take_absolute)
def absolute_value_keeps_minus(place: Absolute) -> Node:
    """Leaves out the absolute value and keeps the minus sign."""
    return place.argument
