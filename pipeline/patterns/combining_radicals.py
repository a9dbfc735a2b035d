"""Errors in adding, multiplying and dividing radicals."""

from __future__ import annotations

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

_SKILL = "radicals"


def _radical_terms(place: Sum) -> list[tuple[Node, Node]] | None:
    """Each term as its signed number and its radicand; None where one has no radical."""
    found = []
    for term in terms_of(place):
        sign, body = signed(term)
        factors = factors_of(body)
        roots = [factor for factor in factors if isinstance(factor, Root)]
        others = [factor for factor in factors if not isinstance(factor, Root)]
        if len(roots) != 1 or whole(roots[0].index) != 2:
            return None
        outside = product_of(*others)
        if value_of(outside) is None:
            return None
        found.append((outside if sign == 1 else negative(outside), roots[0].radicand))
    return found if len(found) > 1 else None


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
def roots_added_under_one_root(place: Sum) -> Node | None:
    """Adds or subtracts the numbers under the radical signs."""
    found = _radical_terms(place)
    if found is None or any(abs(rational(outside) or 0) != 1 for outside, _ in found):
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
def radicands_added_with_coefficients(place: Sum) -> Node | None:
    """Adds the numbers before the radicals and the numbers under them."""
    found = _radical_terms(place)
    if found is None or all(abs(rational(outside) or 0) == 1 for outside, _ in found):
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
def unlike_radicals_joined(place: Sum) -> Node | None:
    """Adds the numbers before different radicals and multiplies the numbers under them."""
    found = _radical_terms(place)
    if found is None or len({radicand for _, radicand in found}) < len(found):
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
def number_added_into_radical(place: Sum) -> Node | None:
    """Adds a number without radical to the number before a radical."""
    terms = terms_of(place)
    plain = [term for term in terms if rational(term) is not None]
    others = [term for term in terms if rational(term) is None]
    if len(plain) != 1 or len(others) != 1:
        return None
    sign, body = signed(others[0])
    roots = [one for one in factors_of(body) if isinstance(one, Root)]
    outside = product_of(*(one for one in factors_of(body) if not isinstance(one, Root)))
    if len(roots) != 1 or rational(outside) is None:
        return None
    return product_of(sum_of(plain[0], outside if sign == 1 else negative(outside)), roots[0])
