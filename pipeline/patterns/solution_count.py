"""Errors about how many solutions there are."""

from __future__ import annotations

from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.equations import Equation
from pipeline.procedures.operations import copy_equation
from pipeline.procedures.statements import NO_SOLUTION
from pipeline.procedures.walk import Ending


@pattern(
    "called-no-solution",
    skill="solution count",
    source="public study pages (complex roots); common practice (real roots)",
    shows=(
        "solve | x^2 + 2x - 15 = 0 | no real solution",
        "solve | 4x = 12 | no solution",
    ),
    silent=(
        "solve | x^2 + 4 = 0 | no real solution",
        "solve | x^2 + 2x - 15 = 0 | 0",
    ),
)
@instead_of(copy_equation)
def called_no_solution(equation: Equation) -> Ending:
    """Says that there is no solution where there are solutions."""
    return Ending(NO_SOLUTION)
