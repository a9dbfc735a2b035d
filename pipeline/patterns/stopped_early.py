"""Errors that stop before the question is answered."""

from __future__ import annotations

from pipeline.exact.building import tree_of_polynomial
from pipeline.exact.numbers import Surd
from pipeline.exact.polynomials import Polynomial
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.equations import UNKNOWN, Linear
from pipeline.procedures.operations import carry_constants
from pipeline.procedures.walk import Ending


@pattern(
    "stopped-at-factors",
    skill="zero product",
    source="Makonye and Nhlanhla 2014 (what the question asks is misread)",
    shows=(
        "solve | x^2 - x - 6 = 0 | (x - 3)(x + 2)",
        "solve | 2t^2 + 7t + 3 = 0 | (2t + 1)(t + 3)",
    ),
    silent=(
        "solve | x^2 - x - 6 = 0 | (x - 3)(x + 2) = 0",
        "solve | x^2 - x - 6 = 0 | (x + 3)(x - 2)",
        "solve | x^2 - x - 6 = 0 | 3, -2",
    ),
)
@instead_of(carry_constants, "factoring")
def stopped_at_factors(factors: tuple[Linear, ...], right: Surd) -> Ending | None:
    """Factors the equation's side and stops there, without the solutions."""
    if right:
        return None
    product = Polynomial.constant(1)
    for one in factors:
        product = product * Polynomial.univariate(UNKNOWN, (one.q, one.p))
    return Ending(tree_of_polynomial(product))
