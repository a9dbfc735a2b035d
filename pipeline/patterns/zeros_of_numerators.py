"""Errors with domains that come from the numerator."""

from __future__ import annotations

from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.equations import Coefficients
from pipeline.procedures.walk import Choices
from pipeline.tasks.domain import DOMAIN, Condition, choose_conditions


@pattern(
    "zero-of-numerator-excluded",
    skill="domains",
    source="common practice",
    shows=(
        "domain | (x - 2)/(x - 5) | x != 2 and x != 5",
        "domain | (x - 2)/(x - 5) | x != 2",
        "domain | (x + 2)/(x^2 - 9) | x != -2, 3, -3",
    ),
    silent=(
        "domain | (x - 2)/(x - 5) | x != 5",
        "domain | (x + 2)/(x^2 - 9) | x != 3, -3",
        "domain | 2/(x - 5) | x != 2",
    ),
)
@instead_of(choose_conditions, DOMAIN)
def zero_of_numerator_excluded(conditions: tuple[Condition, ...], above: Coefficients) -> Choices:
    """Leaves the zeros of the numerator out of the domain."""
    excluded = Condition("nonzero", above)
    others = tuple(one for one in conditions if one.kind != "nonzero")
    return Choices(((*conditions, excluded), (*others, excluded)))
