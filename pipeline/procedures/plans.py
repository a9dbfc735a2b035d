"""Which procedures serve a problem, and what each of them starts from."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from typing import Any, Final, NamedTuple

from pipeline.errors import BudgetExceeded
from pipeline.exact.numbers import Surd
from pipeline.procedures.equations import ZERO, coefficients, equation_of, square_of
from pipeline.procedures.further import further_plans
from pipeline.procedures.linear import solve_linear
from pipeline.procedures.numbers import (
    OneCoordinate,
    constant_that_completes,
    find_discriminant,
    one_coordinate,
    vertex_by_axis,
    vertex_by_reading,
    vertex_by_square,
)
from pipeline.procedures.parabolas import asked_coordinate, parabola
from pipeline.procedures.proportions import proportion_of, solve_proportion
from pipeline.procedures.quadratic import QUADRATIC
from pipeline.procedures.shapes_of_polynomials import substitution_ways
from pipeline.procedures.vertex_forms import Quadratic, rewrite_around_square
from pipeline.procedures.walk import Walk
from pipeline.procedures.word_problems import story_of, tell_story
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
    if problem.task in ("expand", "factor", "simplify", "evaluate"):
        # Imported late: that package builds on ours.
        from pipeline.procedures.rewriting.plans import expression_plans

        return tuple(Plan(*one) for one in expression_plans(problem))
    build = _BUILDERS.get(problem.task)
    try:
        found = () if build is None else tuple(build(problem))
    except (BudgetExceeded, ZeroDivisionError):
        found = ()
    if build is None or (
        problem.task == "solve" and all(one.name == "proportion" for one in found)
    ):
        found += tuple(Plan(*way) for way in further_plans(problem))
    if not (problem.asked or problem.joined or problem.offered) and problem.keep is None:
        return found
    try:
        return tuple(Plan(plan.name, tell_story, story_of(problem, plan)) for plan in found)
    except BudgetExceeded:
        return ()


def three_coefficients(problem: Problem) -> tuple[Surd, Surd, Surd]:
    """Return a, b, c of the quadratic that a problem is about.

    Raises:
        BudgetExceeded: it is no polynomial of degree at most 2 in one letter.
    """
    letter = problem.letter
    if problem.task == "discriminant" and problem.relations:
        equation = equation_of(problem.relations[0], letter)
        if equation is None:
            raise BudgetExceeded("it is no quadratic equation in one letter")
        a, b, c = (one - two for one, two in zip(equation.left, equation.right, strict=True))
        return a, b, c
    side, letter = parabola(problem)
    found = coefficients(side, letter)
    if found is None or len(found) > 3:
        raise BudgetExceeded("it is no quadratic in one letter")
    c, b, a = (*found, ZERO, ZERO, ZERO)[:3]
    return a, b, c


def _solve(problem: Problem) -> list[Plan]:
    if len(problem.relations) != 1 or not problem.letter:
        return []
    proportion = proportion_of(problem.relations[0], problem.letter)
    ways = [] if proportion is None else [Plan("proportion", solve_proportion, proportion)]
    return [*ways, *_solve_by_degree(problem)]


def _solve_by_degree(problem: Problem) -> list[Plan]:
    equation = equation_of(problem.relations[0], problem.letter)
    if equation is None:
        return []
    if equation.degree == 2:
        usual = [Plan(name, procedure, equation) for name, procedure in QUADRATIC.items()]
        first, second = problem.relations[0].sides
        further = substitution_ways(first, second, problem.letter)
        return [*usual, *(Plan(*way) for way in further)]
    return [Plan("linear", solve_linear, equation)]


def _square_constant(problem: Problem) -> list[Plan]:
    a, b, _ = three_coefficients(problem)
    return [Plan("square-constant", constant_that_completes, b / a)] if a else []


def _discriminant(problem: Problem) -> list[Plan]:
    abc = three_coefficients(problem)
    start = Quadratic(*abc, problem.letter)
    return [Plan("discriminant", find_discriminant, start)] if start.a else []


def _vertex(problem: Problem) -> list[Plan]:
    abc = three_coefficients(problem)
    if not abc[0]:
        return []
    square = square_of(*parabola(problem))
    start = square if square is not None and square.q else abc
    coordinate = asked_coordinate(problem.text)
    if coordinate is not None:
        return [Plan("vertex", one_coordinate, OneCoordinate(coordinate, start))]
    if start is not abc:
        return [Plan("vertex", vertex_by_reading, start)]
    return [Plan("vertex", vertex_by_axis, abc), Plan("completed square", vertex_by_square, abc)]


def _rewrite(problem: Problem) -> list[Plan]:
    a, b, c = three_coefficients(problem)
    start = Quadratic(a, b, c, parabola(problem)[1])
    return [Plan("rewrite", rewrite_around_square, start)] if a else []


_BUILDERS: Final[dict[str, Callable[[Problem], list[Plan]]]] = {
    "solve": _solve,
    "square-constant": _square_constant,
    "discriminant": _discriminant,
    "vertex": _vertex,
    "rewrite": _rewrite,
}
