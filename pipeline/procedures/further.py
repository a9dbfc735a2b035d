"""Where the kinds of problem beyond linear and quadratic equations join the others."""

from __future__ import annotations

import re
from collections.abc import Hashable
from dataclasses import replace
from typing import Final

from pipeline.errors import BudgetExceeded
from pipeline.exact.numbers import Surd
from pipeline.exact.trees import Letter, Negation, Node, Relation, Root, letters
from pipeline.exact.values import (
    Equation,
    Expression,
    Number,
    Point,
    Points,
    Region,
    Roots,
    Statement,
    StatementCode,
    Value,
    number_of,
)
from pipeline.procedures.compound_inequalities import compound_way
from pipeline.procedures.converting import Conversion, conversion_right
from pipeline.procedures.equations import equation_of
from pipeline.procedures.functions import Function
from pipeline.procedures.isolating import Way
from pipeline.procedures.sign_charts import real_sorted
from pipeline.procedures.statements import NO_SOLUTION
from pipeline.procedures.walk import Abandoned, Walk
from pipeline.reading.judge import RightAnswer
from pipeline.reading.problems import Problem
from pipeline.records import Numbers

__all__ = ["further_plans", "further_right", "right_ending", "solutions_of", "value_of"]

_SAYS_LETTER: Final = re.compile(r"\bfor\s+[A-Za-z]\s*[.?]?\s*$")


def further_plans(problem: Problem) -> list[Way]:
    """Return the ways to work a problem that is no linear or quadratic equation in one letter."""
    try:
        return _ways(problem)
    except (BudgetExceeded, ZeroDivisionError, Abandoned):
        return []


def _ways(problem: Problem) -> list[Way]:
    from pipeline.procedures.shapes_of_equations import equation_ways
    from pipeline.procedures.shapes_of_inequalities import inequality_ways

    if problem.task != "solve":
        from pipeline.procedures.tasks import task_ways

        return task_ways(problem)
    if problem.is_system and problem.is_inequality and problem.letters == {problem.letter}:
        return compound_way(problem.relations, problem.letter, problem.either)
    if len(problem.relations) == 2:
        return _system(problem.relations)
    if len(problem.relations) != 1:
        return []
    if problem.letters != {problem.letter}:
        return _formula(problem)
    relation = problem.relations[0]
    if set(relation.signs) == {"="}:
        return equation_ways(relation, problem.letter)
    return inequality_ways(relation, problem.letter)


def _formula(problem: Problem) -> list[Way]:
    """An equation in several letters is one of these when it says which to solve for."""
    from pipeline.procedures.solving_for import formula_ways

    return formula_ways(problem) if _SAYS_LETTER.search(problem.text) else []


def _system(relations: tuple[Relation, ...]) -> list[Way]:
    from pipeline.procedures.shapes_of_systems import system_ways

    names = sorted(frozenset().union(*(letters(one) for one in relations)))
    return system_ways(relations[0], relations[1], names) if len(names) == 2 else []


def right_ending(way: Way) -> Hashable | None:
    """Return what a procedure ends in without a fault, or None when it does not get there."""
    try:
        return way[1](Walk(logged=False), way[2])
    except (Abandoned, ZeroDivisionError, BudgetExceeded):
        return None


def solutions_of(relation: Relation, letter: str) -> frozenset[Surd] | None:
    """Return the solutions of an equation that is neither linear nor quadratic as it stands.

    Returns:
        Complex ones included where it is a polynomial; None where no procedure reaches them.
    """
    from pipeline.procedures.shapes_of_equations import equation_ways

    try:
        ways = equation_ways(relation, letter)
    except (BudgetExceeded, ZeroDivisionError, Abandoned):
        return None
    for way in ways:
        ending = right_ending(way)
        if ending == NO_SOLUTION:
            return frozenset()
        if isinstance(ending, frozenset):
            return ending
    return None


def further_right(problem: Problem, numbers: Numbers) -> RightAnswer | None:
    """Return the right answer of such a problem; None where no procedure reaches one.

    Raises:
        BudgetExceeded: a problem with a syntax of its own that is not written so.
    """
    if problem.task != "solve":
        _ways(problem)
    if problem.task == "solve" and _is_quadratic(problem):
        return None
    for way in further_plans(problem):
        if isinstance(way[2], Conversion):
            return conversion_right(way[2])
        ending = right_ending(way)
        if ending is not None:
            right = _right(ending, numbers)
            right = _with_point(way[2], right)
            return _with_line(problem, right) if problem.is_system else right
    return None


def _with_point(start: object, right: RightAnswer) -> RightAnswer:
    """The value of a function is as well told by the point of its graph."""
    if not isinstance(start, Function) or not isinstance(right.value, Number):
        return right
    above, below = start.argument
    if not (above.is_constant and below.is_constant):
        return right
    put_in = Number.exactly(above.constant_term / below.constant_term)
    return replace(right, also=(*right.also, Point((put_in, right.value))))


def _with_line(problem: Problem, right: RightAnswer) -> RightAnswer:
    """Two equations that are one line have that line for an answer, too."""
    equal = all(set(relation.signs) == {"="} for relation in problem.relations)
    if right.value != Statement(StatementCode.ALL_REAL) or not equal:
        return right
    return replace(right, also=(*right.also, Equation(problem.relations[0])))


def _is_quadratic(problem: Problem) -> bool:
    """Whether the usual procedures serve: an equation of degree at most two."""
    one = len(problem.relations) == 1
    return one and equation_of(problem.relations[0], problem.letter) is not None


def _right(ending: Hashable, numbers: Numbers) -> RightAnswer:
    if ending == NO_SOLUTION:
        return RightAnswer(
            Statement(StatementCode.NO_SOLUTION), also=(Statement(StatementCode.NO_REAL),)
        )
    if isinstance(ending, Equation):
        return RightAnswer(ending, **_beside(ending))
    if not isinstance(ending, frozenset) or numbers == "complex":
        return RightAnswer(value_of(ending))
    real = frozenset(one for one in ending if one.is_real)
    if real == ending:
        return RightAnswer(value_of(ending))
    if real:
        return RightAnswer(value_of(real), other_form=(value_of(ending),))
    return RightAnswer(
        Statement(StatementCode.NO_REAL),
        also=(Statement(StatementCode.NO_SOLUTION),),
        other_form=(value_of(ending),),
    )


def _beside(equation: Equation) -> dict[str, tuple[Value, ...]]:
    """The right side alone: as right for a formula, another form for the equation of a line.

    Of x = 3 and y = 3 it would be the same.
    """
    left, right = equation.relation.sides
    if not letters(right):
        return {}
    alone: tuple[Value, ...] = (Expression(right),)
    if isinstance(right, Root):
        both = Roots((number_of(right), number_of(Negation(right))))
        return {"also": (*alone, both)}
    return {"other_form" if left == Letter("y") else "also": alone}


def value_of(ending: Hashable) -> Value:
    """Return an ending as the value of an answer.

    Raises:
        BudgetExceeded: no answer has this form.
    """
    match ending:
        case Region() | Equation() | Points() | Point() | Roots() | Statement() | Expression():
            return ending
        case Surd():
            return Number.exactly(ending)
        case frozenset():
            return Roots(tuple(Number.exactly(one) for one in _ordered(ending)))
        case str():
            return Statement(StatementCode(ending))
        case tuple():
            return Point(tuple(Number.exactly(one) for one in ending))
    if isinstance(ending, Node):
        return Expression(ending) if letters(ending) else number_of(ending)
    raise BudgetExceeded(f"no answer has the form of {ending!r}")


def _ordered(roots: frozenset[Surd]) -> list[Surd]:
    rest = [one for one in roots if not one.is_real]
    rest.sort(key=lambda one: (one.approximate().real, one.approximate().imag))
    return [*real_sorted(roots), *rest]
