"""Errors with equations such as |x - 2| = x - 2, which hold on half of the line."""

from __future__ import annotations

from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.absolute_value import ABSOLUTE, where_not_negative
from pipeline.procedures.equations import Linear
from pipeline.procedures.operations import Roots
from pipeline.procedures.statements import ALL_REAL

_SKILL = "absolute value"


@pattern(
    "condition-of-bars-overlooked",
    skill=_SKILL,
    source="common practice",
    shows=(
        "solve | |x - 2| = x - 2 | all real numbers",
        "solve | |3 - x| = x - 3 | all real numbers",
    ),
    silent=(
        "solve | |x - 2| = x - 2 | x >= 2",
        "solve | |x - 2| = x - 2 | 2",
    ),
)
@instead_of(where_not_negative, ABSOLUTE)
def condition_of_bars_overlooked(right: Linear) -> str:
    """Takes an equation that holds where its right side is not negative to hold everywhere."""
    return ALL_REAL


@pattern(
    "boundary-of-bars-given-alone",
    skill=_SKILL,
    source="common practice",
    shows=(
        "solve | |x - 2| = x - 2 | 2",
        "solve | |2x + 6| = 2x + 6 | -3",
    ),
    silent=(
        "solve | |x - 2| = x - 2 | x >= 2",
        "solve | |x - 2| = 2 | 4",
    ),
)
@instead_of(where_not_negative, ABSOLUTE)
def boundary_of_bars_given_alone(right: Linear) -> Roots:
    """Gives the number where the bars hold zero as the only solution."""
    return frozenset({-right.q / right.p})
