"""Which way a formula is solved for a letter."""

from __future__ import annotations

from pipeline.errors import CannotBeWorked
from pipeline.exact.trees import letters
from pipeline.procedures.solving_for import (
    gathered,
    one_sided,
    solve_formula,
    solve_square_formula,
    squared_form,
    without_pi,
)
from pipeline.procedures.solving_for_exponents import wrapped_plans
from pipeline.procedures.walk import Plan
from pipeline.reading.problems import Problem

__all__ = ["formula_plans"]


def formula_plans(problem: Problem) -> list[Plan]:
    """Read a formula with the letter to the first power, in one square, exponent or logarithm.

    Raises:
        CannotBeWorked: it is no equation, or the letter is bound in another way.
    """
    if len(problem.relations) != 1 or problem.relations[0].signs != ("=",):
        raise CannotBeWorked("a formula is an equation, such as `A = b*h/2 for h`")
    left, right = (without_pi(side) for side in problem.relations[0].sides)
    letter = problem.letter
    if letter not in letters(left) and letter in letters(right):
        left, right = right, left
    squared = squared_form(left, right, letter)
    if squared is not None:
        return [Plan("square formula", solve_square_formula, squared)]
    wrapped = wrapped_plans(left, right, letter)
    if wrapped:
        return wrapped
    start = one_sided(left, right, letter) or gathered(left, right, letter)
    return [Plan("formula", solve_formula, start)]
