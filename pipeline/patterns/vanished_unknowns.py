"""Errors where the unknown drops out of an equation."""

from __future__ import annotations

from pipeline.exact.numbers import Surd
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.equations import ZERO
from pipeline.procedures.operations import Roots, conclude
from pipeline.procedures.statements import ALL_REAL, NO_SOLUTION

_SKILL = "linear equations"


@pattern(
    "vanished-unknown-read-as-zero",
    skill=_SKILL,
    source="from memory",
    shows=(
        "solve | 2x + 3 = 2x + 5 | 0",
        "solve | 3(x + 1) = 3x + 3 | x = 0",
    ),
    silent=(
        "solve | 2x + 3 = 2x + 5 | no solution",
        "solve | 2x + 3 = 3x + 3 | 1",
    ),
)
@instead_of(conclude)
def vanished_unknown_read_as_zero(right: Surd) -> Roots:
    """Answers 0 where the unknown has dropped out of the equation."""
    return frozenset({ZERO})


@pattern(
    "identity-and-contradiction-swapped",
    skill=_SKILL,
    source="from memory",
    shows=(
        "solve | 3(x + 1) = 3x + 3 | no solution",
        "solve | 2x + 3 = 2x + 5 | all real numbers",
    ),
    silent=(
        "solve | 3(x + 1) = 3x + 3 | all real numbers",
        "solve | 2x + 3 = 2x + 5 | 0",
    ),
)
@instead_of(conclude)
def identity_and_contradiction_swapped(right: Surd) -> str:
    """Takes a statement that is always true for one that never is, or the reverse."""
    return ALL_REAL if right else NO_SOLUTION
