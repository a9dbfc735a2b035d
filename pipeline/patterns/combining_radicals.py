"""Errors in adding, multiplying and dividing radicals."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import combinations

from pipeline.exact.trees import Node, Root, Sum
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.rewriting.operations import add
from pipeline.procedures.rewriting.terms import (
    factors_of,
    negative,
    product_of,
    rational,
    signed,
    sum_of,
    terms_of,
    value_of,
    whole,
)
from pipeline.procedures.walk import Choices

_SKILL = "radicals"


_MOST_TERMS = 5
_Radicals = list[tuple[Node, Node]]
"""Terms with one radical: the signed number before it, and what is under it."""


def _radical_term(term: Node) -> tuple[Node, Node] | None:
    """A term as its signed number and its radicand; None where it has no radical of its own."""
    sign, body = signed(term)
    factors = factors_of(body)
    roots = [factor for factor in factors if isinstance(factor, Root)]
    outside = product_of(*(factor for factor in factors if not isinstance(factor, Root)))
    if len(roots) != 1 or whole(roots[0].index) != 2 or value_of(outside) is None:
        return None
    return (outside if sign == 1 else negative(outside)), roots[0].radicand


def _joined(place: Sum, join: Callable[[_Radicals], Node | None]) -> Choices | None:
    """Join all terms with radicals, or two of them, wrongly; the others stay as they are."""
    terms = terms_of(place)
    if len(terms) > _MOST_TERMS:
        return None
    found = {at: one for at, term in enumerate(terms) if (one := _radical_term(term)) is not None}
    chosen = [tuple(found), *combinations(found, 2)] if len(found) > 2 else [tuple(found)]
    return Choices(_with_joined(terms, found, chosen, join))


def _with_joined(
    terms: tuple[Node, ...],
    found: dict[int, tuple[Node, Node]],
    chosen: list[tuple[int, ...]],
    join: Callable[[_Radicals], Node | None],
) -> Iterator[Node]:
    for places in chosen:
        joined = join([found[at] for at in places]) if len(places) > 1 else None
        if joined is not None:
            rest = (term for at, term in enumerate(terms) if at not in places)
            yield sum_of(joined, *rest)


@pattern(
    "roots-added-under-one-root",
    skill=_SKILL,
    source="OpenStax Elementary Algebra 2e, 9.2; Matz 1980, from memory",
    shows=(
        "simplify | sqrt(27) + sqrt(12) | sqrt(39)",
        "simplify | sqrt(5) + sqrt(3) | sqrt(8)",
    ),
    silent=(
        "simplify | sqrt(27) + sqrt(12) | 5sqrt(3)",
        "simplify | sqrt(27) * sqrt(12) | 18",
    ),
)
@instead_of(add)
def roots_added_under_one_root(place: Sum) -> Choices | None:
    """Adds or subtracts the numbers under the radical signs."""
    return _joined(place, _under_one_root)


def _under_one_root(found: _Radicals) -> Node | None:
    if any(abs(rational(outside) or 0) != 1 for outside, _ in found):
        return None
    inside = [
        radicand if rational(outside) == 1 else negative(radicand) for outside, radicand in found
    ]
    if rational(found[0][0]) != 1:
        return None
    return Root(sum_of(*inside))


@pattern(
    "radicands-added-with-coefficients",
    skill=_SKILL,
    source="from memory",
    shows=(
        "simplify | 2sqrt(3) + 4sqrt(3) | 6sqrt(6)",
        "simplify | 4sqrt(5) + 3sqrt(2) | 7sqrt(7)",
    ),
    silent=(
        "simplify | 2sqrt(3) + 4sqrt(3) | 6sqrt(3)",
        "simplify | sqrt(3) + sqrt(5) | sqrt(8)",
    ),
)
@instead_of(add)
def radicands_added_with_coefficients(place: Sum) -> Choices | None:
    """Adds the numbers before the radicals and the numbers under them."""
    return _joined(place, _both_added)


def _both_added(found: _Radicals) -> Node | None:
    if all(abs(rational(outside) or 0) == 1 for outside, _ in found):
        return None
    outside = sum_of(*(one for one, _ in found))
    return product_of(outside, Root(sum_of(*(radicand for _, radicand in found))))


@pattern(
    "unlike-radicals-joined",
    skill=_SKILL,
    source="common practice",
    shows=(
        "simplify | 2sqrt(3) + 4sqrt(5) | 6sqrt(15)",
        "simplify | sqrt(2) + sqrt(7) | 2sqrt(14)",
    ),
    silent=(
        "simplify | 2sqrt(3) + 4sqrt(5) | 2sqrt(3) + 4sqrt(5)",
        "simplify | 2sqrt(3) + 4sqrt(3) | 6sqrt(3)",
    ),
)
@instead_of(add)
def unlike_radicals_joined(place: Sum) -> Choices | None:
    """Adds the numbers before different radicals and multiplies the numbers under them."""
    return _joined(place, _radicands_multiplied)


def _radicands_multiplied(found: _Radicals) -> Node | None:
    if len({radicand for _, radicand in found}) < len(found):
        return None
    outside = sum_of(*(one for one, _ in found))
    return product_of(outside, Root(product_of(*(radicand for _, radicand in found))))


@pattern(
    "number-added-into-radical",
    skill=_SKILL,
    source="common practice",
    shows=(
        "simplify | 3 + 2sqrt(5) | 5sqrt(5)",
        "simplify | 7 - 4sqrt(3) | 3sqrt(3)",
    ),
    silent=(
        "simplify | 3 + 2sqrt(5) | 3 + 2sqrt(5)",
        "simplify | 3sqrt(5) + 2sqrt(5) | 5sqrt(5)",
    ),
)
@instead_of(add)
def number_added_into_radical(place: Sum) -> Choices | None:
    """Adds a number without radical to the number before a radical."""
    terms = terms_of(place)
    plain = [at for at, term in enumerate(terms) if rational(term) is not None]
    if len(plain) != 1 or len(terms) > _MOST_TERMS:
        return None
    others = [at for at in range(len(terms)) if at != plain[0]]
    return Choices(
        sum_of(product_of(sum_of(terms[plain[0]], found[0]), Root(found[1])), *rest)
        for at in others
        if (found := _radical_term(terms[at])) is not None
        for rest in [[terms[one] for one in others if one != at]]
    )
