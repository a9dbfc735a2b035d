"""Errors with two inequalities that are joined by "and" or by "or"."""

from __future__ import annotations

from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.compound_inequalities import COMPOUND, combine
from pipeline.procedures.sign_charts import Regional
from pipeline.procedures.walk import Choices

_SKILL = "inequalities"


@pattern(
    "and-taken-for-or",
    skill=_SKILL,
    source="OpenStax Intermediate Algebra 2e, 2.6 (the related distinction)",
    shows=(
        "solve | 2x + 1 > 5 and x - 3 > 4 | x > 2",
        "solve | x + 1 <= 4 and 3x < 6 | x <= 3",
    ),
    silent=(
        "solve | 2x + 1 > 5 and x - 3 > 4 | x > 7",
        "solve | 2x + 1 > 5 or x - 3 > 4 | x > 2",
    ),
)
@instead_of(combine, COMPOUND)
def and_taken_for_or(regions: tuple[Regional, ...], either: bool) -> Regional | None:
    """Takes the numbers for which one inequality holds, where both have to hold."""
    return None if either else combine(regions, True)


@pattern(
    "or-taken-for-and",
    skill=_SKILL,
    source="OpenStax Intermediate Algebra 2e, 2.6 (the related distinction)",
    shows=(
        "solve | 2x + 1 > 5 or x - 3 > 4 | x > 7",
        "solve | x + 1 < 4 or x - 1 > 5 | no solution",
    ),
    silent=(
        "solve | 2x + 1 > 5 or x - 3 > 4 | x > 2",
        "solve | 2x + 1 > 5 and x - 3 > 4 | x > 7",
    ),
)
@instead_of(combine, COMPOUND)
def or_taken_for_and(regions: tuple[Regional, ...], either: bool) -> Regional | None:
    """Takes the numbers for which both inequalities hold, where one of them is enough."""
    return combine(regions, False) if either else None


@pattern(
    "one-inequality-left-out",
    skill=_SKILL,
    source="common practice",
    shows=(
        "solve | 2x + 1 > 3 and x - 4 < 2 | x > 1",
        "solve | x + 1 < 4 or x - 1 > 5 | x > 6",
    ),
    silent=(
        "solve | 2x + 1 > 3 and x - 4 < 2 | 1 < x < 6",
        "solve | x + 1 < 4 or x - 1 > 5 | x < 3 or x > 6",
    ),
)
@instead_of(combine, COMPOUND)
def one_inequality_left_out(regions: tuple[Regional, ...], either: bool) -> Choices:
    """Gives the solutions of one of the inequalities and leaves the other out."""
    return Choices(regions)
