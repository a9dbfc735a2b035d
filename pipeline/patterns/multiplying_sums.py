"""Errors in multiplying two sums."""

from __future__ import annotations

from pipeline.exact.trees import Negation, Node, Product, Sum
from pipeline.patterns.registry import instead_of, pattern
from pipeline.patterns.signs_of_products import product_of_negatives_negative
from pipeline.procedures.rewriting.operations import multiply
from pipeline.procedures.rewriting.terms import (
    factors_of,
    power,
    product_of,
    signed,
    split_coefficient,
    sum_of,
    terms_of,
)
from pipeline.procedures.walk import Choices

_SKILL = "expanding"


def _binomials(place: Product) -> tuple[Node, Node, Node, Node] | None:
    """The four terms of a product of two binomials."""
    factors = factors_of(place)
    if len(factors) != 2 or not all(isinstance(factor, Sum) for factor in factors):
        return None
    first, second = (terms_of(factor) for factor in factors)
    if len(first) != 2 or len(second) != 2:
        return None
    return first[0], first[1], second[0], second[1]


@pattern(
    "first-and-last-only",
    skill=_SKILL,
    source="Demby 1997, from memory",
    shows=(
        "expand | (2x + 2)(2x - 4) | 4x^2 - 8",
        "expand | (x + 3)(x + 4) | x^2 + 12",
    ),
    silent=(
        "expand | (2x + 2)(2x - 4) | 4x^2 - 4x - 8",
        "expand | (x + 3)(x - 3) | x^2 - 9",
    ),
)
@instead_of(multiply)
def first_and_last_only(place: Product) -> Node | None:
    """Multiplies the first terms and the last terms of two brackets and nothing else."""
    found = _binomials(place)
    if found is None:
        return None
    a, b, c, d = found
    return sum_of(product_of(a, c), product_of(b, d))


@pattern(
    "cross-term-left-out",
    skill=_SKILL,
    source="common practice",
    shows=(
        "expand | (x + 3)(x + 4) | x^2 + 4x + 12",
        "expand | (2x - 5)(x + 6) | 2x^2 - 5x - 30",
    ),
    silent=(
        "expand | (x + 3)(x + 4) | x^2 + 7x + 12",
        "expand | (x + 3)(x + 4) | x^2 + 12",
    ),
)
@instead_of(multiply)
def cross_term_left_out(place: Product) -> Choices | None:
    """Forgets one of the two middle products when two brackets are multiplied."""
    found = _binomials(place)
    if found is None:
        return None
    a, b, c, d = found
    outer, inner = product_of(a, d), product_of(b, c)
    return Choices(sum_of(product_of(a, c), kept, product_of(b, d)) for kept in (outer, inner))


@pattern(
    "sum-and-product-swapped",
    skill=_SKILL,
    source="from memory",
    shows=(
        "expand | (x + 3)(x + 4) | x^2 + 12x + 7",
        "expand | (x - 2)(x + 6) | x^2 - 12x + 4",
    ),
    silent=(
        "expand | (x + 3)(x + 4) | x^2 + 7x + 12",
        "expand | (x - 2)(x + 6) | x^2 + 4x - 12",
    ),
)
@instead_of(multiply)
def sum_and_product_swapped(place: Product) -> Node | None:
    """Multiplies two constants for the middle term and adds them for the last one."""
    found = _binomials(place)
    if found is None or found[0] != found[2]:
        return None
    letter, first, _, second = found
    return sum_of(power(letter, 2), product_of(first, second, letter), first, second)


@pattern(
    "conjugates-give-sum",
    skill=_SKILL,
    source="from memory",
    shows=(
        "expand | (x - 3)(x + 3) | x^2 + 9",
        "expand | (2x + 5)(2x - 5) | 4x^2 + 25",
    ),
    silent=(
        "expand | (x - 3)(x + 3) | x^2 - 9",
        "expand | (x - 3)(x - 3) | x^2 + 9",
    ),
)
@instead_of(multiply)
def conjugates_give_sum(place: Product) -> Node | None:
    """Writes a plus between the squares in the product of a sum and the same difference."""
    found = _binomials(place)
    if found is None:
        return None
    a, b, c, d = found
    opposite = isinstance(b, Negation) != isinstance(d, Negation)
    if a != c or signed(b)[1] != signed(d)[1] or not opposite:
        return None
    return sum_of(power(a, 2), power(signed(b)[1], 2))


@pattern(
    "coefficients-not-multiplied",
    skill=_SKILL,
    source="from memory",
    shows=(
        "expand | (2x + 3)(5x + 1) | 7x^2 + 17x + 3",
        "expand | (3x - 2)(4x + 1) | 7x^2 - 5x - 2",
    ),
    silent=(
        "expand | (2x + 3)(5x + 1) | 10x^2 + 17x + 3",
        "expand | (x + 3)(x + 1) | x^2 + 4x + 3",
    ),
)
@instead_of(multiply)
def coefficients_not_multiplied(place: Product) -> Node | None:
    """Adds the coefficients of the first terms of two brackets instead of multiplying them."""
    found = _binomials(place)
    if found is None:
        return None
    a, b, c, d = found
    one, two = split_coefficient(a), split_coefficient(c)
    if one is None or two is None or one[1] != two[1]:
        return None
    first = product_of(sum_of(one[0], two[0]), power(one[1], 2))
    return sum_of(first, product_of(a, d), product_of(b, c), product_of(b, d))


@pattern(
    "second-bracket-meets-first-term-only",
    skill=_SKILL,
    source="common practice",
    shows=(
        "expand | (x + 3)(x + 4) | x^2 + 4x + 3",
        "expand | (2x - 5)(x + 6) | 2x^2 + 12x - 5",
    ),
    silent=(
        "expand | (x + 3)(x + 4) | x^2 + 7x + 12",
        "expand | (x + 3)(x + 4) | x^2 + 4x + 12",
    ),
)
@instead_of(multiply)
def second_bracket_meets_first_term_only(place: Product) -> Node | None:
    """Multiplies the second bracket by the first term of the first one only."""
    found = _binomials(place)
    if found is None:
        return None
    a, b, c, d = found
    return sum_of(product_of(a, c), product_of(a, d), b)


@product_of_negatives_negative.also(
    multiply,
    shows=("expand | (x - 6)(x - 4) | x^2 - 10x - 24",),
    silent=("expand | (x - 6)(x - 4) | x^2 - 10x + 24",),
)
def _last_terms_of_differences(place: Product) -> Node | None:
    """Gives the product of the two negative last terms a minus sign."""
    found = _binomials(place)
    if found is None:
        return None
    a, b, c, d = found
    if not (isinstance(b, Negation) and isinstance(d, Negation)):
        return None
    last = Negation(product_of(b.argument, d.argument))
    return sum_of(product_of(a, c), product_of(a, d), product_of(b, c), last)
