"""Errors with the signs of numbers that are added and subtracted."""

from __future__ import annotations

from pipeline.exact.numbers import Surd
from pipeline.exact.trees import Negation, Node, Sum
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.rewriting.operations import (
    add,
)
from pipeline.procedures.rewriting.terms import (
    monomial,
    negative,
    number,
    product_of,
    signed,
    split_coefficient,
    sum_of,
    terms_of,
    value_of,
)
from pipeline.procedures.walk import Choices

_SKILL = "signs"


def _two_like(place: Sum) -> tuple[Surd, Surd, Node | None] | None:
    """Two numbers, or the coefficients of two like terms and what they have in common."""
    if len(place.terms) != 2:
        return None
    first, second = (value_of(term) for term in place.terms)
    if first is not None and second is not None:
        return (first, second, None) if first.is_rational and second.is_rational else None
    one, two = (split_coefficient(signed(term)[1]) for term in place.terms)
    if one is None or two is None or one[1] != two[1]:
        return None
    p, q = value_of(one[0]), value_of(two[0])
    if p is None or q is None or not p.is_rational or not q.is_rational:
        return None
    return p * signed(place.terms[0])[0], q * signed(place.terms[1])[0], one[1]


def _of(size: Surd, common: Node | None) -> Node:
    return number(size) if common is None else product_of(number(size), common)


def _positive(value: Surd) -> bool:
    return value.real_sign() > 0


def _size(value: Surd) -> Surd:
    return value if value.real_sign() >= 0 else -value


@pattern(
    "unlike-signs-added-as-sizes",
    skill=_SKILL,
    source="Ashlock 2006",
    shows=(
        "evaluate | -9 + 4 | 13",
        "simplify | -9x + 4x | 13x",
    ),
    silent=(
        "evaluate | -9 + 4 | -5",
        "evaluate | -9 + 4 | 5",
    ),
)
@instead_of(add)
def unlike_signs_added_as_sizes(place: Sum) -> Choices | None:
    """Adds the sizes of two numbers with different signs."""
    found = _two_like(place)
    if found is None or _positive(found[0]) == _positive(found[1]):
        return None
    total = _size(found[0]) + _size(found[1])
    return Choices((_of(total, found[2]), _of(-total, found[2])))


@pattern(
    "sign-of-smaller-kept",
    skill=_SKILL,
    source="Ashlock 2006",
    shows=(
        "evaluate | -9 + 4 | 5",
        "evaluate | 3 + (-8) | 5",
    ),
    silent=(
        "evaluate | -9 + 4 | -5",
        "evaluate | -9 + 4 | 13",
    ),
)
@instead_of(add)
def sign_of_smaller_kept(place: Sum) -> Node | None:
    """Subtracts the sizes of two numbers with different signs but takes the wrong sign."""
    found = _two_like(place)
    if found is None or _positive(found[0]) == _positive(found[1]):
        return None
    return _of(-(found[0] + found[1]), found[2])


@pattern(
    "two-minuses-make-plus-in-sum",
    skill=_SKILL,
    source="Ashlock 2006",
    shows=(
        "evaluate | -7 + (-5) | 12",
        "evaluate | -8 - 3 | 11",
    ),
    silent=(
        "evaluate | -7 + (-5) | -12",
        "evaluate | -7 + (-5) | -2",
    ),
)
@instead_of(add)
def two_minuses_make_plus_in_sum(place: Sum) -> Node | None:
    """Makes the sum of two negative numbers positive, as in a product."""
    found = _two_like(place)
    if found is None or _positive(found[0]) or _positive(found[1]):
        return None
    return _of(-(found[0] + found[1]), found[2])


@pattern(
    "negatives-subtracted-in-sum",
    skill=_SKILL,
    source="Ashlock 2006",
    shows=(
        "evaluate | -7 + (-5) | -2",
        "evaluate | -8 - 3 | -5",
    ),
    silent=(
        "evaluate | -7 + (-5) | -12",
        "evaluate | -7 + (-5) | 12",
    ),
)
@instead_of(add)
def negatives_subtracted_in_sum(place: Sum) -> Choices | None:
    """Subtracts the sizes of two negative numbers that are to be added."""
    found = _two_like(place)
    if found is None or _positive(found[0]) or _positive(found[1]):
        return None
    left = found[0] - found[1]
    return Choices((_of(left, found[2]), _of(-left, found[2])))


@pattern(
    "minus-detached-from-term",
    skill=_SKILL,
    source="Linchevski and Herscovics 1996",
    shows=(
        "evaluate | 20 - 6 + 3 | 11",
        "simplify | 9x - 4x + 2x | 3x",
        "evaluate | 15 - 4 + 2 - 1 | 10",
    ),
    silent=(
        "evaluate | 20 - 6 + 3 | 17",
        "evaluate | 20 + 6 - 3 | 29",
    ),
)
@instead_of(add)
def minus_detached_from_term(place: Sum) -> Choices | None:
    """Works out terms behind a minus first, as if they stood in brackets: 9 - 4 + 2 as 9 - 6."""
    terms = terms_of(place)
    if not 3 <= len(terms) <= 6:
        return None
    return Choices(
        sum_of(*terms[:start], negative(sum_of(negative(terms[start]), *within)), *terms[end:])
        for start in range(1, len(terms) - 1)
        if isinstance(terms[start], Negation)
        for end in range(start + 2, len(terms) + 1)
        for within in [terms[start + 1 : end]]
        if all(_are_like(terms[start], one) for one in within)
    )


def _are_like(one: Node, other: Node) -> bool:
    found, second = monomial(one), monomial(other)
    if found is None or second is None:
        return False
    return sorted(map(repr, found.powers)) == sorted(map(repr, second.powers))


@pattern(
    "difference-turned-positive",
    skill=_SKILL,
    source="Ashlock 2006; Linchevski and Herscovics 1996",
    shows=(
        "evaluate | 4 - 11 | 7",
        "simplify | 3x - 8x | 5x",
    ),
    silent=(
        "evaluate | 4 - 11 | -7",
        "evaluate | 11 - 4 | -7",
    ),
)
@instead_of(add)
def difference_turned_positive(place: Sum) -> Node | None:
    """Turns a difference round, so that the smaller number is taken from the larger."""
    found = _two_like(place)
    if found is None or not _positive(found[0]) or _positive(found[1]):
        return None
    turned = -(found[0] + found[1])
    return _of(turned, found[2]) if _positive(turned) else None
