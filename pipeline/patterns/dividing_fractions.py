"""Errors in dividing and reducing fractions."""

from __future__ import annotations

from fractions import Fraction
from math import gcd, isqrt

from pipeline.exact.trees import Node, Quotient
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.rewriting.operations import divide
from pipeline.procedures.rewriting.terms import (
    as_fraction,
    fraction_parts,
    monomial,
    number,
    over,
    product_of,
    whole,
)
from pipeline.procedures.walk import Choices

_SKILL = "fractions"


def _divided(place: Quotient) -> tuple[Node, Node, Node, Node] | None:
    """Both parts of the fractions in a division, where one at least is a fraction."""
    if fraction_parts(place.numerator) is None and fraction_parts(place.denominator) is None:
        return None
    return (*as_fraction(place.numerator), *as_fraction(place.denominator))


@pattern(
    "divided-without-inverting",
    skill=_SKILL,
    source="Ashlock 2006 (a related error)",
    shows=(
        "simplify | (4/7) / (10/9) | 40/63",
        "evaluate | (2/3)/(4/5) | 8/15",
    ),
    silent=(
        "simplify | (4/7) / (10/9) | 18/35",
        "simplify | (4/7) * (10/9) | 40/63",
    ),
)
@instead_of(divide)
def divided_without_inverting(place: Quotient) -> Node | None:
    """Multiplies two fractions that are to be divided, and turns none of them over."""
    found = _divided(place)
    if found is None:
        return None
    a, b, c, d = found
    return over(product_of(a, c), product_of(b, d))


@pattern(
    "wrong-fraction-inverted",
    skill=_SKILL,
    source="Ashlock 2006",
    shows=(
        "simplify | (1/11) / (11/9) | 121/9",
        "evaluate | (2/3)/(4/5) | 6/5",
    ),
    silent=(
        "simplify | (1/11) / (11/9) | 9/121",
        "simplify | (1/11) / (11/9) | 1/9",
    ),
)
@instead_of(divide)
def wrong_fraction_inverted(place: Quotient) -> Node | None:
    """Turns over the first fraction instead of the second."""
    found = _divided(place)
    if found is None:
        return None
    a, b, c, d = found
    return over(product_of(b, c), product_of(a, d))


@pattern(
    "divided-part-by-part",
    skill=_SKILL,
    source="Ashlock 2006",
    shows=(
        "evaluate | (7/5)/(3/2) | 1",
        "evaluate | (9/8)/(2/3) | 2",
    ),
    silent=(
        "evaluate | (7/5)/(3/2) | 14/15",
        "evaluate | (8/9)/(2/3) | 4/3",
    ),
)
@instead_of(divide)
def divided_part_by_part(place: Quotient) -> Node | None:
    """Divides numerator by numerator and denominator by denominator and drops remainders."""
    found = _divided(place)
    if found is None:
        return None
    a, b, c, d = (whole(part) for part in found)
    if not (a and b and c and d) or a // c == 0 or b // d == 0:
        return None
    return Quotient(number(a // c), number(b // d))


@pattern(
    "whole-number-divides-both-parts",
    skill=_SKILL,
    source="Ashlock 2006 (the same in multiplying); common practice",
    shows=(
        "evaluate | (6/8)/2 | 3/4",
        "simplify | ((6x)/9)/3 | (2x)/3",
    ),
    silent=(
        "evaluate | (6/8)/2 | 3/8",
        "evaluate | (5/8)/2 | 5/8",
        "evaluate | (6/8)/(2/3) | 9/8",
    ),
)
@instead_of(divide)
def whole_number_divides_both_parts(place: Quotient) -> Node | None:
    """Divides both parts of a fraction by a whole number that it is to be divided by."""
    parts, divisor = fraction_parts(place.numerator), whole(place.denominator)
    if parts is None or divisor is None or abs(divisor) < 2:
        return None
    top, below = (monomial(part) for part in parts)
    if top is None or below is None:
        return None
    numbers = [one.coefficient / divisor for one in (top, below)]
    if not all(one.is_integer for one in numbers):
        return None
    return over(
        top._replace(coefficient=numbers[0]).tree(), below._replace(coefficient=numbers[1]).tree()
    )


@pattern(
    "one-part-reduced",
    skill=_SKILL,
    source="Ashlock 2006",
    shows=(
        "simplify | 6/8 | 3/8",
        "simplify | 15/20 | 3/20",
    ),
    silent=(
        "simplify | 6/8 | 3/4",
        "simplify | 6/8 | 2/8",
    ),
)
@instead_of(divide)
def one_part_reduced(place: Quotient) -> Choices | None:
    """Divides only the numerator or only the denominator by a common factor."""
    top, below = whole(place.numerator), whole(place.denominator)
    if not top or not below:
        return None
    common = gcd(top, below)
    return Choices(
        number(value)
        for factor in range(2, min(common, 200) + 1)
        if common % factor == 0
        for value in (Fraction(top // factor, below), Fraction(top, below // factor))
    )


@pattern(
    "roots-taken-of-both-parts",
    skill=_SKILL,
    source="Ashlock 2006, label 6 of Otero, Druga and Lan 2024",
    shows=(
        "simplify | 9/16 | 3/4",
        "simplify | 4/25 | 2/5",
    ),
    silent=(
        "simplify | 9/12 | 3/4",
        "simplify | 4/8 | 1/2",
    ),
)
@instead_of(divide)
def roots_taken_of_both_parts(place: Quotient) -> Node | None:
    """Takes the roots of numerator and denominator for a reduced fraction."""
    top, below = whole(place.numerator), whole(place.denominator)
    if not top or not below or min(top, below) < 1 or below == 1:
        return None
    if isqrt(top) ** 2 != top or isqrt(below) ** 2 != below:
        return None
    return Quotient(number(isqrt(top)), number(isqrt(below)))
