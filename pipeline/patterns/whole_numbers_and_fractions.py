"""Errors where a fraction meets a whole number or a fraction with the same denominator."""

from __future__ import annotations

from pipeline.exact.trees import Node, Product, Quotient, Sum
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.rewriting.operations import add, divide, multiply
from pipeline.procedures.rewriting.terms import (
    ONE,
    as_fraction,
    factors_of,
    product_of,
    sum_of,
    terms_of,
    whole,
)

_SKILL = "fractions"


@pattern(
    "whole-number-added-to-numerator",
    skill=_SKILL,
    source="common practice",
    shows=(
        "evaluate | 2 + 3/4 | 5/4",
        "simplify | 5 - 2/3 | 1",
    ),
    silent=(
        "evaluate | 2 + 3/4 | 11/4",
        "evaluate | 1/4 + 3/4 | 1",
    ),
)
@instead_of(add)
def whole_number_added_to_numerator(place: Sum) -> Node | None:
    """Adds a whole number to the numerator of a fraction, or subtracts it there."""
    parts = [as_fraction(term) for term in terms_of(place)]
    below = [bottom for _, bottom in parts if bottom != ONE]
    if len(parts) != 2 or len(below) != 1:
        return None
    return Quotient(sum_of(*(top for top, _ in parts)), below[0])


@pattern(
    "common-denominator-kept-in-product",
    skill=_SKILL,
    source="common practice",
    shows=(
        "evaluate | (3/7)*(2/7) | 6/7",
        "evaluate | (1/5)*(4/5) | 4/5",
    ),
    silent=(
        "evaluate | (3/7)*(2/7) | 6/49",
        "evaluate | 3/7 + 2/7 | 5/7",
    ),
)
@instead_of(multiply)
def common_denominator_kept_in_product(place: Product) -> Node | None:
    """Keeps a common denominator when fractions are multiplied, as in adding them."""
    parts = [as_fraction(factor) for factor in factors_of(place)]
    below = {bottom for _, bottom in parts}
    if len(parts) < 2 or len(below) != 1 or ONE in below:
        return None
    return Quotient(product_of(*(top for top, _ in parts)), below.pop())


@pattern(
    "division-turned-round",
    skill=_SKILL,
    source="common practice",
    shows=(
        "evaluate | 4/8 | 2",
        "simplify | 3/12 | 4",
    ),
    silent=(
        "evaluate | 4/8 | 1/2",
        "evaluate | 8/4 | 2",
    ),
)
@instead_of(divide)
def division_turned_round(place: Quotient) -> Node | None:
    """Divides the larger number by the smaller one, whichever stands first."""
    top, below = whole(place.numerator), whole(place.denominator)
    if not top or not below or abs(top) in (1, abs(below)) or below % top:
        return None
    return Quotient(place.denominator, place.numerator)


@pattern(
    "multiplied-before-dividing",
    skill="order of operations",
    source="common practice",
    shows=(
        "evaluate | 24/4*2 | 3",
        "evaluate | 36/6*3 | 2",
    ),
    silent=(
        "evaluate | 24/4*2 | 12",
        "evaluate | 24*2/4 | 3",
    ),
)
@instead_of(multiply)
def multiplied_before_dividing(place: Product) -> Node | None:
    """Multiplies before it divides, although the division stands first."""
    first, *others = place.factors
    if not isinstance(first, Quotient) or any(whole(one) is None for one in others):
        return None
    if whole(first.numerator) is None or whole(first.denominator) is None:
        return None
    return Quotient(first.numerator, product_of(first.denominator, *others))
