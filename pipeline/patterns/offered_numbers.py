"""Errors in picking solutions out of numbers offered."""

from __future__ import annotations

from collections.abc import Hashable

from pipeline.exact.numbers import Surd
from pipeline.exact.values import Region
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.offered import OFFER, is_in, pick_offered
from pipeline.procedures.walk import Choices


@pattern(
    "boundary-picked-as-solution",
    skill="inequalities",
    source="a coach's page on inequalities in Algebra 1",
    shows=(
        "solve | 4x + 3 > 11; choose from 0, 1, 2, 3 | 2",
        "solve | -2x < 6, choose from -4, -3, -2, 0 | -3",
    ),
    silent=(
        "solve | 4x + 3 > 11; choose from 0, 1, 2, 3 | 3",
        "solve | 4x + 3 > 11; choose from 0, 1, 2, 3 | 0, 1",
        "solve | 4x + 3 >= 11; choose from 0, 1, 2, 3 | 2",
    ),
)
@instead_of(pick_offered, OFFER)
def boundary_picked_as_solution(solution: Hashable, offered: tuple[Surd, ...]) -> Choices | None:
    """Picks the boundary itself, where an inequality leaves it out."""
    if not isinstance(solution, Region):
        return None
    ends = {end.surd for part in solution.parts for end in (part.low, part.high) if end is not None}
    return Choices(frozenset({one}) for one in offered if one in ends and not is_in(one, solution))


@pattern(
    "solutions-and-others-swapped",
    skill="inequalities",
    source="common practice",
    shows=(
        "solve | 4x + 3 > 11; choose from 0, 1, 2, 3 | 0, 1, 2",
        "solve | 3x - 1 <= 5; choose from 1, 2, 3, 4 | 3, 4",
    ),
    silent=(
        "solve | 4x + 3 > 11; choose from 0, 1, 2, 3 | 3",
        "solve | 4x + 3 > 11; choose from 0, 1, 2, 3 | 2",
    ),
)
@instead_of(pick_offered, OFFER)
def solutions_and_others_swapped(
    solution: Hashable, offered: tuple[Surd, ...]
) -> frozenset[Surd] | None:
    """Picks the numbers that do not solve an inequality."""
    rest = frozenset(offered) - pick_offered(solution, offered)
    return rest or None
