"""Errors that take the product of terms for a sum, or a sum for a product."""

from __future__ import annotations

from pipeline.exact.trees import Letter, Node, Product, Sum
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.rewriting.operations import add, multiply
from pipeline.procedures.rewriting.terms import (
    Monomial,
    monomial,
    product_of,
    terms_of,
    value_of,
)

_SKILL = "like terms"


@pattern(
    "like-terms-multiplied",
    skill=_SKILL,
    source="common practice",
    shows=(
        "simplify | x + x | x^2",
        "simplify | 2x + 3x | 6x^2",
    ),
    silent=(
        "simplify | x + x | 2x",
        "simplify | 2x * 3x | 6x^2",
    ),
)
@instead_of(add)
def like_terms_multiplied(place: Sum) -> Node | None:
    """Multiplies like terms that are to be added."""
    terms = terms_of(place)
    found = [monomial(term) for term in terms]
    powers = {one.powers for one in found if one is not None}
    if None in found or len(powers) != 1 or not next(iter(powers)):
        return None
    return product_of(*terms) if _plain(next(iter(powers))) else None


def _plain(powers: tuple[tuple[Node, object], ...]) -> bool:
    return all(isinstance(base, Letter) for base, _ in powers)


def _grouped_by_number(place: Product) -> list[Node]:
    """The factors of a product, a number joined with the letter behind it."""
    groups: list[Node] = []
    for factor in place.factors:
        joins = groups and value_of(groups[-1]) is not None and value_of(factor) is None
        groups.append(product_of(groups.pop(), factor) if joins else factor)
    return groups


def _two_terms(place: Product) -> tuple[Monomial, Monomial] | None:
    """Two terms with coefficients and the same letters, as in (2x)(3x)."""
    groups = _grouped_by_number(place)
    if len(groups) != 2:
        return None
    one, two = (monomial(group) for group in groups)
    if one is None or two is None or not one.powers or not two.powers:
        return None
    return one, two


@pattern(
    "letter-multiplied-once",
    skill="exponents",
    source="common practice",
    shows=(
        "simplify | (2x)(3x) | 6x",
        "simplify | (4a^2)(5a^2) | 20a^2",
    ),
    silent=(
        "simplify | (2x)(3x) | 6x^2",
        "simplify | 2x + 3x | 5x",
    ),
)
@instead_of(multiply)
def letter_multiplied_once(place: Product) -> Node | None:
    """Multiplies the coefficients of two terms and keeps their letter as it is."""
    found = _two_terms(place)
    if found is None or found[0].powers != found[1].powers:
        return None
    return found[0]._replace(coefficient=found[0].coefficient * found[1].coefficient).tree()


@pattern(
    "coefficients-added-in-product",
    skill="exponents",
    source="common practice",
    shows=(
        "simplify | (2x)(3x) | 5x^2",
        "simplify | (4a^2)(5a^3) | 9a^5",
        "simplify | x^3 * x^4 | 2x^7",
    ),
    silent=(
        "simplify | (2x)(3x) | 6x^2",
        "simplify | (2x)(3x) | 5x",
    ),
)
@instead_of(multiply)
def coefficients_added_in_product(place: Product) -> Node | None:
    """Adds the coefficients of two terms that are to be multiplied."""
    found = _two_terms(place)
    if found is None or not {base for base, _ in found[0].powers} & {
        base for base, _ in found[1].powers
    }:
        return None
    one, two = found
    return Monomial(one.coefficient + two.coefficient, (*one.powers, *two.powers)).tree()
