"""Errors in adding, multiplying and dividing radicals."""

from __future__ import annotations

from pipeline.exact.trees import Node, Product, Quotient, Root, Sum
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.rewriting.operations import add, divide, multiply
from pipeline.procedures.rewriting.terms import (
    factors_of,
    negative,
    number,
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


@pattern(
    "number-before-radical-lost",
    skill=_SKILL,
    source="from memory",
    shows=(
        "simplify | 5sqrt(8) | 2sqrt(2)",
        "simplify | 3sqrt(50) | 5sqrt(2)",
    ),
    silent=(
        "simplify | 5sqrt(8) | 10sqrt(2)",
        "simplify | 5sqrt(8) | 20sqrt(2)",
    ),
)
@instead_of(multiply)
def number_before_radical_lost(place: Product) -> Node | None:
    """Simplifies the radical and loses the number before it."""
    factors = factors_of(place)
    roots = [factor for factor in factors if isinstance(factor, Root)]
    if len(factors) != 2 or len(roots) != 1 or isinstance(factors[1], Root) is False:
        return None
    return roots[0] if rational(factors[0]) is not None else None


@pattern(
    "number-before-radical-added",
    skill=_SKILL,
    source="common practice",
    shows=(
        "simplify | 5sqrt(8) | 7sqrt(2)",
        "simplify | 3sqrt(50) | 8sqrt(2)",
    ),
    silent=(
        "simplify | 5sqrt(8) | 10sqrt(2)",
        "simplify | 5sqrt(8) | 2sqrt(2)",
    ),
)
@instead_of(multiply)
def number_before_radical_added(place: Product) -> Node | None:
    """Adds the number that comes out of a radical to the number before it."""
    factors = [inner for factor in place.factors for inner in factors_of(factor)]
    if len(factors) != 3 or not isinstance(factors[2], Root):
        return None
    first, second = rational(factors[0]), rational(factors[1])
    if first is None or second is None:
        return None
    return product_of(number(first + second), factors[2])


@pattern(
    "roots-of-negatives-multiplied-first",
    skill="complex numbers",
    source="OpenStax Intermediate Algebra 2e, 8.8; Kontorovich 2018, from memory",
    shows=(
        "simplify | sqrt(-25)*sqrt(-4) | 10",
        "simplify | sqrt(-2)*sqrt(-18) | 6",
    ),
    silent=(
        "simplify | sqrt(-25)*sqrt(-4) | -10",
        "simplify | sqrt(25)*sqrt(4) | 10",
    ),
)
@instead_of(multiply)
def roots_of_negatives_multiplied_first(place: Product) -> Node | None:
    """Multiplies the numbers under two radicals although both are negative."""
    factors = factors_of(place)
    if len(factors) != 2 or not all(isinstance(factor, Root) for factor in factors):
        return None
    values = [rational(factor.radicand) for factor in factors if isinstance(factor, Root)]
    if values[0] is None or values[1] is None or values[0] >= 0 or values[1] >= 0:
        return None
    return Root(number(values[0] * values[1]))


@pattern(
    "rationalized-denominator-only",
    skill=_SKILL,
    source="from memory",
    shows=(
        "simplify | 5/sqrt(3) | 5/3",
        "simplify | 4/sqrt(7) | 4/7",
    ),
    silent=(
        "simplify | 5/sqrt(3) | 5sqrt(3)/3",
        "simplify | 5/sqrt(3) | 5sqrt(3)",
    ),
)
@instead_of(divide)
def rationalized_denominator_only(place: Quotient) -> Node | None:
    """Multiplies only the denominator by the radical that rationalizes it."""
    below = place.denominator
    factors = factors_of(below)
    roots = [factor for factor in factors if isinstance(factor, Root)]
    if len(roots) != 1 or whole(roots[0].index) != 2 or rational(roots[0].radicand) is None:
        return None
    others = [factor for factor in factors if not isinstance(factor, Root)]
    return Quotient(place.numerator, product_of(*others, roots[0].radicand))


@pattern(
    "radical-divided-by-plain-number",
    skill=_SKILL,
    source="common practice",
    shows=(
        "simplify | sqrt(32)/8 | 2",
        "simplify | sqrt(20)/5 | 2",
    ),
    silent=(
        "simplify | sqrt(32)/8 | sqrt(2)/2",
        "simplify | sqrt(32)/sqrt(8) | 2",
    ),
)
@instead_of(divide)
def radical_divided_by_plain_number(place: Quotient) -> Node | None:
    """Divides the number under a radical by a number outside of it."""
    above, below = place.numerator, whole(place.denominator)
    if not isinstance(above, Root) or below is None or below < 2:
        return None
    inside = whole(above.radicand)
    return Root(number(inside // below)) if inside and inside % below == 0 else None
