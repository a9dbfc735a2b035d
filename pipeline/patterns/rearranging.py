"""Errors in moving terms from one side to the other."""

from __future__ import annotations

from pipeline.exact.numbers import Surd
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.operations import carry_constant


@pattern(
    "constant-moved-same-sign",
    skill="rearranging",
    source="Hall 2002; Larino 2018; Zakaria, Ibrahim and Maat 2010; Kieran 1984 (from memory)",
    shows=(
        "solve | x^2 - 7 = 0 | sqrt(7)i; -sqrt(7)i",
        "solve | x^2 - 4x + 13 = 0 | x=2 + sqrt(17) or x=2 - sqrt(17)",
        "solve | 4x - 10 = -12 | -11/2",
    ),
    silent=(
        "solve | x^2 - 7 = 0 | sqrt(7), -sqrt(7)",
        "solve | 4x - 10 = -12 | -1/2",
        "solve | 4x = -12 | 3",
    ),
)
@instead_of(carry_constant)
def constant_moved_same_sign(here: Surd, there: Surd) -> Surd:
    """Carries a constant across the equals sign without changing its sign."""
    return here + there
