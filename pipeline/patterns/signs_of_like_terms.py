"""Errors with signs where like terms are collected in a longer sum."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from pipeline.exact.numbers import Surd
from pipeline.exact.trees import Node, Sum
from pipeline.patterns.signs import (
    negatives_subtracted_in_sum,
    sign_of_smaller_kept,
    two_minuses_make_plus_in_sum,
    unlike_signs_added_as_sizes,
)
from pipeline.procedures.rewriting.operations import add
from pipeline.procedures.rewriting.terms import Monomial, monomial, sum_of, terms_of
from pipeline.procedures.walk import Choices

_FEWEST_TERMS, _MOST_TERMS = 3, 8


def _collected(
    place: Sum, wrong: Callable[[Surd, Surd], Iterable[Surd]], like_signs: bool
) -> Choices | None:
    """The sums in which one pair of like terms is joined by a wrong rule.

    Args:
        place: the sum.
        wrong: what comes out of two coefficients, both negative or of different signs.
        like_signs: whether the rule is one for two negative numbers.
    """
    terms = terms_of(place)
    if not _FEWEST_TERMS <= len(terms) <= _MOST_TERMS:
        return None
    found = [monomial(term) for term in terms]
    if not any(one is not None and one.powers for one in found):
        return None
    return Choices(
        _with(terms, i, j, Monomial(size, one.powers))
        for j, two in enumerate(found)
        for i, one in enumerate(found[:j])
        if one is not None and two is not None and one.powers == two.powers
        if _fits(one.coefficient, two.coefficient, like_signs)
        for size in wrong(one.coefficient, two.coefficient)
    )


def _fits(one: Surd, two: Surd, like_signs: bool) -> bool:
    if not (one.is_rational and two.is_rational):
        return False
    negative = one.real_sign() < 0, two.real_sign() < 0
    return all(negative) if like_signs else any(negative) and not all(negative)


def _with(terms: tuple[Node, ...], i: int, j: int, joined: Monomial) -> Node:
    rest = [term for place, term in enumerate(terms) if place not in (i, j)]
    return sum_of(*rest[:i], joined.tree(), *rest[i:])


@two_minuses_make_plus_in_sum.also(
    add,
    shows=("simplify | 9x - 4 + 2x - 5 | 11x + 9", "simplify | 5(x - 2) + 3(x - 1) | 8x + 13"),
    silent=("simplify | 9x - 4 + 2x - 5 | 11x - 9", "simplify | 9x - 4 + 2x + 5 | 11x + 9"),
)
def _collected_to_plus(place: Sum) -> Choices | None:
    return _collected(place, lambda one, two: (-(one + two),), like_signs=True)


@negatives_subtracted_in_sum.also(
    add,
    shows=("simplify | 9x - 4 + 2x - 7 | 11x - 3", "simplify | 4 - 8x - 3x | 4 - 5x"),
    silent=("simplify | 9x - 4 + 2x - 7 | 11x - 11", "simplify | 9x + 4 + 2x - 7 | 11x - 3"),
)
def _collected_by_subtracting(place: Sum) -> Choices | None:
    return _collected(place, lambda one, two: (one - two, two - one), like_signs=True)


@unlike_signs_added_as_sizes.also(
    add,
    shows=("simplify | 9x - 4 + 2x + 7 | 11x + 11", "simplify | 6 - 8x + 3x | 6 - 11x"),
    silent=("simplify | 9x - 4 + 2x + 7 | 11x + 3", "simplify | 9x - 4 + 2x - 7 | 11x - 11"),
)
def _collected_as_sizes(place: Sum) -> Choices | None:
    return _collected(place, lambda one, two: (one - two, two - one), like_signs=False)


@sign_of_smaller_kept.also(
    add,
    shows=("simplify | 9x - 4 + 2x + 7 | 11x - 3", "simplify | 6 - 8x + 3x | 6 + 5x"),
    silent=("simplify | 9x - 4 + 2x + 7 | 11x + 3", "simplify | 9x - 4 + 2x + 7 | 11x + 11"),
)
def _collected_with_wrong_sign(place: Sum) -> Choices | None:
    return _collected(place, lambda one, two: (-(one + two),), like_signs=False)
