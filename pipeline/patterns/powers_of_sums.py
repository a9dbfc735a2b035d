"""Errors in raising a sum to the third power, and the terms of a sum that was squared."""

from __future__ import annotations

from pipeline.exact.trees import Letter, Node, Power, Sum
from pipeline.patterns.registry import instead_of, pattern
from pipeline.patterns.squaring_binomials import coefficient_not_squared
from pipeline.procedures.rewriting.operations import raise_to_power
from pipeline.procedures.rewriting.terms import (
    number,
    power,
    product_of,
    signed,
    split_coefficient,
    sum_of,
    terms_of,
    whole,
)

_SKILL = "expanding"


def _cubed(place: Power) -> tuple[Node, Node] | None:
    if not isinstance(place.base, Sum) or whole(place.exponent) != 3:
        return None
    terms = terms_of(place.base)
    return (terms[0], terms[1]) if len(terms) == 2 else None


@pattern(
    "cube-coefficients-left-out",
    skill=_SKILL,
    source="common practice",
    shows=(
        "expand | (x + 2)^3 | x^3 + 2x^2 + 4x + 8",
        "expand | (x - 1)^3 | x^3 - x^2 + x - 1",
    ),
    silent=(
        "expand | (x + 2)^3 | x^3 + 6x^2 + 12x + 8",
        "expand | (x + 2)^3 | x^3 + 8",
    ),
)
@instead_of(raise_to_power)
def cube_coefficients_left_out(place: Power) -> Node | None:
    """Leaves out the factor 3 of the middle terms of a cube."""
    found = _cubed(place)
    if found is None:
        return None
    u, v = found
    middle = (product_of(power(u, 2), v), product_of(u, power(v, 2)))
    return sum_of(power(u, 3), *middle, power(v, 3))


@pattern(
    "cube-worked-as-square",
    skill=_SKILL,
    source="common practice",
    shows=(
        "expand | (x + 2)^3 | x^2 + 4x + 4",
        "evaluate | 4^3 | 16",
    ),
    silent=(
        "expand | (x + 2)^3 | x^3 + 6x^2 + 12x + 8",
        "evaluate | 4^2 | 16",
    ),
)
@instead_of(raise_to_power)
def cube_worked_as_square(place: Power) -> Node | None:
    """Multiplies two factors instead of three."""
    return Power(place.base, number(2)) if whole(place.exponent) == 3 else None


@coefficient_not_squared.also(raise_to_power, late=True)
def _coefficient_of_term_not_squared(place: Power) -> Node | None:
    split = split_coefficient(signed(place.base)[1])
    if split is None or whole(place.exponent) != 2 or not isinstance(split[1], Letter):
        return None
    return product_of(split[0], power(split[1], 2))
