"""Errors in simplifying and combining radicals."""

from __future__ import annotations

from math import isqrt

from pipeline.exact.numbers import square_part
from pipeline.exact.trees import Node, Power, Quotient, Root, Sum
from pipeline.patterns.radicals import square_factor_left_unrooted
from pipeline.patterns.registry import instead_of, pattern
from pipeline.patterns.square_root_property import (
    halved_instead_of_rooted,
    negative_radicand_made_positive,
    root_of_fraction_top_only,
    rooted_term_by_term,
)
from pipeline.procedures.rewriting.operations import take_root
from pipeline.procedures.rewriting.terms import (
    fraction_parts,
    monomial,
    negative,
    number,
    power,
    product_of,
    rational,
    signed,
    sum_of,
    terms_of,
    value_of,
    whole,
)
from pipeline.procedures.walk import Choices, Ending

_SKILL = "radicals"


def _radicand(place: Root) -> int | None:
    """The whole number under a square root."""
    return whole(place.radicand) if whole(place.index) == 2 else None


def _square_factors(size: int) -> list[int]:
    """All s > 1 whose square divides a number."""
    return [s for s in range(2, min(isqrt(size), 200) + 1) if size % (s * s) == 0]


@square_factor_left_unrooted.also(
    take_root,
    shows=("simplify | sqrt(125) | 25sqrt(5)", "simplify | sqrt(12) | 4sqrt(3)"),
    silent=("simplify | sqrt(125) | 5sqrt(5)", "simplify | sqrt(125) | 5sqrt(25)"),
)
def _square_factor_taken_whole(place: Root) -> Choices | None:
    """Takes a square factor out of the radical without taking its root."""
    size = _radicand(place)
    if size is None or size <= 0:
        return None
    return Choices(
        product_of(number(s * s), Root(number(size // (s * s)))) for s in _square_factors(size)
    )


@pattern(
    "radical-inside-outside-swapped",
    skill=_SKILL,
    source="common practice",
    shows=(
        "simplify | sqrt(45) | 5sqrt(3)",
        "simplify | sqrt(50) | 2sqrt(5)",
    ),
    silent=(
        "simplify | sqrt(45) | 3sqrt(5)",
        "simplify | sqrt(45) | 9sqrt(5)",
    ),
)
@instead_of(take_root)
def radical_inside_outside_swapped(place: Root) -> Node | None:
    """Swaps the number before the radical with the number under it."""
    size = _radicand(place)
    if size is None or size <= 0:
        return None
    outside, inside = square_part(size)
    return product_of(number(inside), Root(number(outside))) if outside > 1 else None


@halved_instead_of_rooted.also(
    take_root,
    shows=("simplify | sqrt(50) | 25", "evaluate | sqrt(36) | 18"),
    silent=("simplify | sqrt(50) | 5sqrt(2)", "evaluate | sqrt(36) | 6"),
)
def _halved(place: Root) -> Node | None:
    """Halves a number instead of taking its square root."""
    value = rational(place.radicand)
    return number(value / 2) if value is not None and whole(place.index) == 2 else None


@rooted_term_by_term.also(
    take_root,
    shows=("simplify | sqrt(9 + 25) | 8", "simplify | sqrt(x^2 + 9) | x + 3"),
    silent=("simplify | sqrt(9 + 25) | sqrt(34)", "simplify | sqrt(9 * 25) | 15"),
)
def _term_by_term(place: Root) -> Node | None:
    """Takes the root of each term of a sum."""
    if not isinstance(place.radicand, Sum):
        return None
    roots = []
    for term in terms_of(place.radicand):
        sign, body = signed(term)
        root = _plain_root(body, place.index)
        roots.append(root if sign == 1 else negative(root))
    return sum_of(*roots)


def _plain_root(body: Node, index: Node) -> Node:
    """The root of a term, whole where each of its powers is even."""
    one = monomial(body)
    size = whole(number(one.coefficient)) if one is not None else None
    if one is None or size is None or size < 0 or whole(index) != 2:
        return Root(body, index)
    if any(exponent.denominator != 1 or exponent % 2 for _, exponent in one.powers):
        return Root(body, index)
    return product_of(Root(number(size)), *(power(base, e / 2) for base, e in one.powers))


@pattern(
    "root-sign-kept",
    skill=_SKILL,
    source="Mathematics Educators question-and-answer site, 1040",
    shows=(
        "simplify | sqrt(9) | sqrt(3)",
        "simplify | sqrt(64) | sqrt(8)",
    ),
    silent=(
        "simplify | sqrt(9) | 3",
        "simplify | sqrt(8) | 2sqrt(2)",
    ),
)
@instead_of(take_root)
def root_sign_kept(place: Root) -> Node | None:
    """Takes the root and keeps the radical sign."""
    size = _radicand(place)
    if size is None or size <= 1 or isqrt(size) ** 2 != size:
        return None
    return Root(number(isqrt(size)))


@pattern(
    "root-of-square-keeps-sign",
    skill=_SKILL,
    source="Schechter 2006; Kontorovich 2016, from memory",
    shows=(
        "evaluate | sqrt((-5)^2) | -5",
        "simplify | sqrt((2 - 7)^2) | -5",
    ),
    silent=(
        "evaluate | sqrt((-5)^2) | 5",
        "evaluate | sqrt(5^2) | -5",
    ),
)
@instead_of(take_root)
def root_of_square_keeps_sign(place: Root) -> Node | None:
    """Cancels root and square although the number inside is negative."""
    inside = place.radicand
    if not isinstance(inside, Power) or whole(inside.exponent) != whole(place.index):
        return None
    value = rational(inside.base)
    return inside.base if value is not None and value < 0 else None


@pattern(
    "principal-root-with-both-signs",
    skill=_SKILL,
    source="Roach, Gibson and Weber 2004, from memory",
    shows=(
        "simplify | sqrt(25) | 5 or -5",
        "simplify | sqrt(8) | 2sqrt(2), -2sqrt(2)",
    ),
    silent=(
        "simplify | sqrt(25) | 5",
        "simplify | sqrt(25) | -5",
    ),
)
@instead_of(take_root)
def principal_root_with_both_signs(place: Root) -> Ending | None:
    """Gives a square root both signs, although the sign stands for the principal root."""
    value = value_of(place)
    if value is None or whole(place.index) != 2 or not value:
        return None
    return Ending(frozenset({value, -value}))


@negative_radicand_made_positive.also(
    take_root,
    shows=("simplify | sqrt(-16) | 4", "simplify | sqrt(-12) | 2sqrt(3)"),
    silent=("simplify | sqrt(-16) | 4i", "simplify | sqrt(16) | 4"),
)
def _minus_under_root_dropped(place: Root) -> Node | None:
    """Drops the minus under a square root."""
    value = rational(place.radicand)
    return Root(number(-value)) if value is not None and value < 0 else None


@root_of_fraction_top_only.also(
    take_root,
    shows=("simplify | sqrt(25/9) | 5/9", "simplify | sqrt(3/4) | sqrt(3)/4"),
    silent=("simplify | sqrt(25/9) | 5/3", "simplify | sqrt(25/9) | 25/3"),
)
def _top_only(place: Root) -> Node | None:
    """Takes the root of the numerator and leaves the denominator as it is."""
    parts = fraction_parts(place.radicand)
    return Quotient(Root(parts[0], place.index), parts[1]) if parts is not None else None
