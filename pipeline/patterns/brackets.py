"""Errors in reading what a bracket belongs to."""

from __future__ import annotations

from pipeline.exact.trees import Negation, Node, Power, Product, Sum
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.rewriting.operations import add, multiply
from pipeline.procedures.rewriting.terms import factors_of, product_of, value_of

_SKILL = "distribution"


@pattern(
    "multiplied-into-every-factor",
    skill=_SKILL,
    source="Dawkins 2006, from memory",
    shows=(
        "simplify | 3(2x*5) | 90x",
        "expand | 4(x*y) | 16xy",
    ),
    silent=(
        "simplify | 3(2x*5) | 30x",
        "expand | 4(x + y) | 4x + 4y",
    ),
)
@instead_of(multiply)
def multiplied_into_every_factor(place: Product) -> Node | None:
    """Multiplies the number outside into each factor of a product, as if it were a sum."""
    outside = place.factors[0]
    inside = place.factors[1] if len(place.factors) == 2 else None
    if not isinstance(inside, Product) or value_of(outside) is None:
        return None
    groups = inside.factors
    if len(groups) == 3 and value_of(groups[0]) is not None:
        groups = (product_of(*groups[:2]), groups[2])
    return product_of(*(product_of(outside, group) for group in groups))


@pattern(
    "distributed-before-power",
    skill=_SKILL,
    source="Scofield 2003",
    shows=(
        "expand | 3(x + 1)^2 | 9x^2 + 18x + 9",
        "evaluate | 2(3 + 1)^2 | 64",
        "simplify | 5(2x^3)^2 | 100x^6",
    ),
    silent=(
        "expand | 3(x + 1)^2 | 3x^2 + 6x + 3",
        "expand | (3x + 3)^2 | 9x^2 + 18x + 9",
    ),
)
@instead_of(multiply)
def distributed_before_power(place: Product) -> Node | None:
    """Multiplies a bracket by the number outside before the power on the bracket is taken."""
    factors = factors_of(place)
    if len(factors) != 2 or value_of(factors[0]) is None:
        return None
    raised = factors[1]
    if not isinstance(raised, Power) or not isinstance(raised.base, Sum | Product):
        return None
    return Power(Product((factors[0], raised.base)), raised.exponent)


@pattern(
    "bracket-read-as-factor",
    skill=_SKILL,
    source="Theba, Pournara and Takker 2024",
    shows=(
        "simplify | x - (x + 4) | -x^2 - 4x",
        "simplify | 3 - (x + 2) | -3x - 6",
    ),
    silent=(
        "simplify | x - (x + 4) | -4",
        "simplify | 3 - (x + 2) | 1 - x",
    ),
)
@instead_of(add)
def bracket_read_as_factor(place: Sum) -> Node | None:
    """Reads a bracket after a minus as multiplied by what stands before it."""
    if len(place.terms) != 2:
        return None
    first, second = place.terms
    if not isinstance(second, Negation) or not isinstance(second.argument, Sum):
        return None
    return product_of(first, second)
