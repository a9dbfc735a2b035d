"""Errors in taking square roots of powers of letters."""

from __future__ import annotations

from fractions import Fraction
from math import isqrt

from pipeline.exact.numbers import Surd
from pipeline.exact.trees import Letter, Node, Root
from pipeline.patterns.radicals import square_factor_left_unrooted
from pipeline.patterns.registry import instead_of, pattern
from pipeline.patterns.square_root_property import halved_instead_of_rooted
from pipeline.procedures.rewriting.operations import take_root
from pipeline.procedures.rewriting.terms import Monomial, monomial, number, power, product_of, whole
from pipeline.procedures.walk import Choices

_SKILL = "radicals"


def _inside(place: Root) -> Monomial | None:
    """A product of letters, with or without a number, under a square root."""
    one = monomial(place.radicand)
    if one is None or not one.powers or whole(place.index) != 2:
        return None
    plain = all(isinstance(base, Letter) and e.denominator == 1 and e > 0 for base, e in one.powers)
    return one if plain and one.coefficient.is_integer and one.coefficient.real_sign() > 0 else None


def _halves(one: Monomial) -> tuple[Node, Node]:
    """What the letters leave outside of the root, and what they leave under it."""
    outside = [power(base, e // 2) for base, e in one.powers if e // 2]
    under = [base for base, e in one.powers if e % 2]
    return product_of(*outside), product_of(*under)


@pattern(
    "exponent-rooted-not-halved",
    skill=_SKILL,
    source="common practice",
    shows=(
        "simplify | sqrt(x^16) | x^4",
        "simplify | sqrt(9y^16) | 3y^4",
    ),
    silent=(
        "simplify | sqrt(x^16) | x^8",
        "simplify | sqrt(x^16) | 4x",
    ),
)
@instead_of(take_root)
def exponent_rooted_not_halved(place: Root) -> Node | None:
    """Takes the square root of the exponent of a letter instead of half of it."""
    one = monomial(place.radicand)
    if one is None or not one.powers or whole(place.index) != 2:
        return None
    roots = []
    for base, exponent in one.powers:
        root = isqrt(int(exponent)) if exponent.denominator == 1 and exponent > 1 else 0
        if not root or root * root != exponent:
            return None
        roots.append(power(base, root))
    return product_of(Root(number(one.coefficient)), *roots)


@pattern(
    "leftover-under-root-dropped",
    skill=_SKILL,
    source="common practice",
    shows=(
        "simplify | sqrt(b^5) | b^2",
        "simplify | sqrt(16x^7) | 4x^3",
    ),
    silent=(
        "simplify | sqrt(b^5) | b^2sqrt(b)",
        "simplify | sqrt(b^4) | b^2",
    ),
)
@instead_of(take_root)
def leftover_under_root_dropped(place: Root) -> Node | None:
    """Halves an odd exponent and forgets the letter that stays under the root."""
    one = _inside(place)
    if one is None or not any(e % 2 and e > 1 for _, e in one.powers):
        return None
    return product_of(Root(number(one.coefficient)), _halves(one)[0])


@square_factor_left_unrooted.also(
    take_root,
    shows=("simplify | sqrt(b^5) | b^4sqrt(b)", "simplify | sqrt(12x^2) | 4xsqrt(3)"),
    silent=("simplify | sqrt(b^5) | b^2sqrt(b)", "simplify | sqrt(12x^2) | 2xsqrt(3)"),
)
def _letters_taken_whole(place: Root) -> Choices | None:
    """Takes a square factor out of the radical without taking its root."""
    one = _inside(place)
    if one is None:
        return None
    outside, under = _halves(one)
    unhalved = [power(base, e - e % 2) for base, e in one.powers if e > 1]
    found = [product_of(Root(number(one.coefficient)), *unhalved, Root(under))]
    size = int(one.coefficient.as_fraction())
    found += [
        product_of(number(s * s), Root(number(size // (s * s))), outside, Root(under))
        for s in range(2, min(isqrt(size), 200) + 1)
        if size % (s * s) == 0
    ]
    return Choices(found)


@halved_instead_of_rooted.also(
    take_root,
    shows=("simplify | sqrt(16x^6) | 8x^3", "simplify | sqrt(64y^2) | 32y"),
    silent=("simplify | sqrt(16x^6) | 4x^3", "simplify | sqrt(4y^2) | 2y"),
)
def _coefficient_halved(place: Root) -> Node | None:
    """Halves a number instead of taking its square root."""
    one = _inside(place)
    if one is None:
        return None
    outside, under = _halves(one)
    return product_of(number(one.coefficient * Surd.of(Fraction(1, 2))), outside, Root(under))
