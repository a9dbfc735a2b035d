"""Errors in adding, multiplying, dividing and reducing fractions."""

from __future__ import annotations

from fractions import Fraction
from math import gcd, lcm

from pipeline.exact.trees import Node, Product, Quotient, Sum
from pipeline.patterns.fractions import fractions_added_across, numerator_not_rescaled
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.rewriting.operations import add, divide, multiply
from pipeline.procedures.rewriting.terms import (
    ONE,
    factors_of,
    fraction_parts,
    number,
    over,
    product_of,
    sum_of,
    terms_of,
    whole,
)
from pipeline.procedures.walk import Choices

_SKILL = "fractions"


def _parts(term: Node) -> tuple[Node, Node]:
    """Numerator and denominator; what is no fraction stands over 1."""
    return fraction_parts(term) or (term, ONE)


def _fraction_terms(place: Sum) -> list[tuple[Node, Node]] | None:
    """The terms of a sum as numerators and denominators, where one at least is a fraction."""
    parts = [_parts(term) for term in terms_of(place)]
    return parts if 2 <= len(parts) <= 4 and any(below != ONE for _, below in parts) else None


@fractions_added_across.also(
    add,
    shows=(
        "simplify | 4/3 + 4/9 | 2/3",
        "evaluate | 3/4 + 2/5 | 5/9",
        "simplify | 1/x + 1/3 | 2/(x + 3)",
    ),
    silent=("simplify | 4/3 + 4/9 | 16/9", "simplify | (4/3)*(4/9) | 16/27"),
)
def _added_across(place: Sum) -> Node | None:
    """Adds fractions by adding the numerators and adding the denominators."""
    parts = _fraction_terms(place)
    if parts is None:
        return None
    return Quotient(sum_of(*(top for top, _ in parts)), sum_of(*(below for _, below in parts)))


def _whole_parts(place: Sum) -> list[tuple[int, int]] | None:
    parts = _fraction_terms(place)
    if parts is None:
        return None
    found = [(whole(top), whole(below)) for top, below in parts]
    return [(top, below) for top, below in found if top is not None and below] or None


@fractions_added_across.also(
    add,
    shows=("simplify | 7/9 - 1/3 | 1",),
    silent=("simplify | 7/9 - 1/3 | 4/9",),
)
def _subtracted_across(place: Sum) -> Node | None:
    parts = _whole_parts(place)
    if parts is None or len(parts) != 2 or parts[1][0] > 0:
        return None
    below = parts[0][1] - parts[1][1]
    return Quotient(number(parts[0][0] + parts[1][0]), number(below)) if below else None


@numerator_not_rescaled.also(
    add,
    shows=("evaluate | 3/4 + 2/5 | 5/20", "simplify | 2/3 + 1/6 | 3/6"),
    silent=("evaluate | 3/4 + 2/5 | 23/20", "evaluate | 3/7 + 2/7 | 5/7"),
)
def _tops_kept(place: Sum) -> Choices | None:
    """Goes to a common denominator and leaves the numerators as they were."""
    parts = _whole_parts(place)
    if parts is None or len({below for _, below in parts}) == 1:
        return None
    top = sum(top for top, _ in parts)
    least, product = lcm(*(below for _, below in parts)), 1
    for _, below in parts:
        product *= below
    return Choices(Quotient(number(top), number(below)) for below in {least, abs(product)})


@pattern(
    "fraction-subtracted-from-top-and-bottom",
    skill=_SKILL,
    source="Brown and Quinn 2006",
    shows=(
        "evaluate | 8 - 3/5 | 5/3",
        "evaluate | 9 - 2/7 | 7/2",
    ),
    silent=(
        "evaluate | 8 - 3/5 | 37/5",
        "evaluate | 8 - 3/5 | 5/5",
    ),
)
@instead_of(add)
def fraction_subtracted_from_top_and_bottom(place: Sum) -> Node | None:
    """Subtracts both parts of a fraction from a whole number, one for the top, one below."""
    if len(place.terms) != 2:
        return None
    first, second = whole(place.terms[0]), fraction_parts(place.terms[1])
    if first is None or second is None:
        return None
    top, below = whole(second[0]), whole(second[1])
    if top is None or below is None or top >= 0 or first == below:
        return None
    return Quotient(number(first + top), number(first - below))


@pattern(
    "whole-number-multiplies-both-parts",
    skill=_SKILL,
    source="Ashlock 2006",
    shows=(
        "evaluate | 5*(2/7) | 10/35",
        "evaluate | (3/4)*6 | 18/24",
    ),
    silent=(
        "evaluate | 5*(2/7) | 10/7",
        "evaluate | 5*(2/7) | 2/35",
    ),
)
@instead_of(multiply)
def whole_number_multiplies_both_parts(place: Product) -> Node | None:
    """Multiplies both parts of a fraction by a whole number."""
    factors = factors_of(place)
    fractions = [one for one in factors if fraction_parts(one) is not None]
    others = [one for one in factors if fraction_parts(one) is None]
    if len(fractions) != 1 or len(others) != 1 or whole(others[0]) in (None, 1):
        return None
    top, below = _parts(fractions[0])
    return Quotient(product_of(others[0], top), product_of(others[0], below))


@pattern(
    "fractions-multiplied-crosswise",
    skill=_SKILL,
    source="common practice",
    shows=(
        "evaluate | (2/3)*(4/5) | 5/6",
        "evaluate | (3/7)*(2/9) | 27/14",
    ),
    silent=(
        "evaluate | (2/3)*(4/5) | 8/15",
        "evaluate | (2/3)/(4/5) | 5/6",
    ),
)
@instead_of(multiply)
def fractions_multiplied_crosswise(place: Product) -> Node | None:
    """Multiplies each numerator by the other denominator when fractions are multiplied."""
    factors = factors_of(place)
    if len(factors) != 2 or any(fraction_parts(one) is None for one in factors):
        return None
    (a, b), (c, d) = _parts(factors[0]), _parts(factors[1])
    return Quotient(product_of(a, d), product_of(b, c))


def _divided(place: Quotient) -> tuple[Node, Node, Node, Node] | None:
    """Both parts of the fractions in a division, where one at least is a fraction."""
    if fraction_parts(place.numerator) is None and fraction_parts(place.denominator) is None:
        return None
    return (*_parts(place.numerator), *_parts(place.denominator))


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
