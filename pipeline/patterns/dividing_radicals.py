"""Errors in multiplying and dividing radicals."""

from __future__ import annotations

from pipeline.exact.trees import Node, Product, Quotient, Root
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.rewriting.operations import divide, multiply
from pipeline.procedures.rewriting.terms import (
    factors_of,
    number,
    over,
    product_of,
    rational,
    whole,
)

_SKILL = "radicals"


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
    below = _radical_below(place)
    if below is None:
        return None
    return Quotient(place.numerator, product_of(*below[1], below[0].radicand))


def _radical_below(place: Quotient) -> tuple[Root, list[Node]] | None:
    """The square root of a number in a denominator, and what else stands there."""
    factors = factors_of(place.denominator)
    roots = [factor for factor in factors if isinstance(factor, Root)]
    if len(roots) != 1 or whole(roots[0].index) != 2 or rational(roots[0].radicand) is None:
        return None
    return roots[0], [factor for factor in factors if not isinstance(factor, Root)]


@pattern(
    "denominator-lost-in-rationalizing",
    skill=_SKILL,
    source="common practice",
    shows=(
        "simplify | 1/sqrt(3) | sqrt(3)",
        "simplify | 5/sqrt(2) | 5sqrt(2)",
    ),
    silent=(
        "simplify | 1/sqrt(3) | sqrt(3)/3",
        "simplify | 5/sqrt(2) | 5/2",
    ),
)
@instead_of(divide)
def denominator_lost_in_rationalizing(place: Quotient) -> Node | None:
    """Moves the radical below into the numerator and leaves nothing of it in the denominator."""
    below = _radical_below(place)
    if below is None:
        return None
    return over(product_of(place.numerator, below[0]), product_of(*below[1]))


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
