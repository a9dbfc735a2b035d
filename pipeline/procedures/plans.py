"""Which procedures serve a problem, and what each of them starts from."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from typing import Any, NamedTuple

from pipeline.procedures.equations import equation_of, square_of
from pipeline.procedures.linear import solve_linear
from pipeline.procedures.numbers import (
    constant_that_completes,
    find_discriminant,
    vertex_by_axis,
    vertex_by_reading,
)
from pipeline.procedures.quadratic import QUADRATIC
from pipeline.procedures.walk import Walk
from pipeline.reading.problems import Problem

__all__ = ["Plan", "plans"]


class Plan(NamedTuple):
    """A procedure with what it starts from.

    Args:
        name: `factoring`, `square-root`, `complete-square`, `formula`, or the task's only one.
        procedure: function of a walk and the start.
        start: an equation, numbers, or a tree.
    """

    name: str
    procedure: Callable[[Walk, Any], Hashable]
    start: Any


def plans(problem: Problem) -> tuple[Plan, ...]:
    """Return the procedures that serve a problem; none where it can only be judged."""
    build = _BUILDERS.get(problem.task)
    return () if build is None else tuple(build(problem))


def three_coefficients(problem: Problem) -> tuple[Surd, Surd, Surd]:
    """Return a, b, c of the quadratic that a problem is about.

    Raises:
        BudgetExceeded: it is no polynomial of degree at most 2 in one letter.
    """
    sides = problem.relations[0].sides if problem.relations else (problem.tree,)
    letter = problem.letter or ""
    found = [coefficients(side, letter) for side in sides if side != Letter(_dependent(problem))]
    total: list[Surd] = [ZERO, ZERO, ZERO]
    for sign, numbers in zip((1, -1), found, strict=False):
        if numbers is None or len(numbers) > 3:
            raise BudgetExceeded("it is no quadratic in one letter")
        for power, number in enumerate(numbers):
            total[power] = total[power] + sign * number
    return total[2], total[1], total[0]


def _solve(problem: Problem) -> list[Plan]:
    if len(problem.relations) != 1 or problem.letter is None:
        return []
    equation = equation_of(problem.relations[0], problem.letter)
    if equation is None:
        return []
    if equation.degree == 2:
        return [Plan(name, procedure, equation) for name, procedure in QUADRATIC.items()]
    return [Plan("linear", solve_linear, equation)]


def _square_constant(problem: Problem) -> list[Plan]:
    a, b, _ = three_coefficients(problem)
    return [Plan("square-constant", constant_that_completes, b / a)] if a else []


def _discriminant(problem: Problem) -> list[Plan]:
    abc = three_coefficients(problem)
    return [Plan("discriminant", find_discriminant, abc)] if abc[0] else []


def _vertex(problem: Problem) -> list[Plan]:
    abc = three_coefficients(problem)
    if not abc[0]:
        return []
    side = right_side(problem)
    square = square_of(side, problem.letter or "")
    if square is not None and square.q:
        return [Plan("vertex", vertex_by_reading, square)]
    return [Plan("vertex", vertex_by_axis, abc)]


_BUILDERS: Final[dict[str, Callable[[Problem], list[Plan]]]] = {
    "solve": _solve,
    "square-constant": _square_constant,
    "discriminant": _discriminant,
    "vertex": _vertex,
}
