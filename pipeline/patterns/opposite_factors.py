"""Errors with opposite and common factors of fractions."""

from __future__ import annotations

from math import gcd

from pipeline.exact.trees import Node, Quotient, Sum, letters
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.rewriting.canonical import canonical
from pipeline.procedures.rewriting.operations import divide
from pipeline.procedures.rewriting.terms import (
    ZERO,
    monomial,
    negative,
    number,
    signed,
    sum_of,
    terms_of,
)
from pipeline.procedures.walk import Choices

_SKILL = "rational expressions"


@pattern(
    "sum-and-reversed-as-opposites",
    skill=_SKILL,
    source="OpenStax Intermediate Algebra 2e, 7.1",
    shows=(
        "simplify | (x + 2)/(2 + x) | -1",
        "simplify | (a + 7)/(7 + a) | -1",
    ),
    silent=(
        "simplify | (x + 2)/(2 + x) | 1",
        "simplify | (x - 2)/(2 - x) | -1",
    ),
)
@instead_of(divide)
def sum_and_reversed_as_opposites(place: Quotient) -> Node | None:
    """Takes a sum and the same sum in another order for opposites."""
    if not (isinstance(place.numerator, Sum) and isinstance(place.denominator, Sum)):
        return None
    same = canonical(place.numerator) == canonical(place.denominator)
    return number(-1) if same and place.numerator != place.denominator else None


@pattern(
    "opposites-cancelled-to-one",
    skill=_SKILL,
    source="OpenStax Intermediate Algebra 2e, 7.1; from memory",
    shows=(
        "simplify | (x - 2)/(2 - x) | 1",
        "simplify | (x^2 - 9)/(3 - x) | x + 3",
    ),
    silent=(
        "simplify | (x - 2)/(2 - x) | -1",
        "simplify | (x - 2)/(x - 2) | 1",
    ),
)
@instead_of(divide)
def opposites_cancelled_to_one(place: Quotient) -> Node | None:
    """Cancels opposite factors as if they were equal."""
    below = place.denominator
    if not isinstance(below, Sum) or not letters(below):
        return None
    quotient = canonical(place)
    if isinstance(quotient, Quotient):
        return None
    first = terms_of(place.numerator)[0]
    turned = signed(first)[0] == 1 and signed(terms_of(canonical(below))[0])[0] == -1
    return canonical(negative(quotient)) if turned else None


@pattern(
    "common-factor-divided-once",
    skill=_SKILL,
    source="common practice",
    shows=(
        "simplify | (3x - 6)/(2x - 4) | 1/2",
        "simplify | (5x + 10)/15 | (x + 2)/15",
    ),
    silent=(
        "simplify | (3x - 6)/(2x - 4) | 3/2",
        "simplify | (5x + 10)/15 | (x + 2)/3",
    ),
)
@instead_of(divide)
def common_factor_divided_once(place: Quotient) -> Choices | None:
    """Takes a common factor out of one part of a fraction and loses it."""
    return Choices(
        Quotient(*parts)
        for parts in (
            (_primitive(place.numerator), place.denominator),
            (place.numerator, _primitive(place.denominator)),
        )
        if parts[0] != ZERO
    )


def _primitive(node: Node) -> Node:
    terms = terms_of(node)
    found = [monomial(term) for term in terms]
    if len(terms) < 2 or any(one is None for one in found):
        return node
    kept = [one for one in found if one is not None]
    if any(not one.coefficient.is_integer for one in kept):
        return node
    common = gcd(*(int(one.coefficient.as_fraction()) for one in kept))
    divided = (one._replace(coefficient=one.coefficient / (common or 1)) for one in kept)
    return sum_of(*(one.tree() for one in divided))
