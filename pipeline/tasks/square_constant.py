"""The constant that makes a perfect square."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from pipeline.errors import CannotBeWorked
from pipeline.exact.numbers import Surd
from pipeline.exact.trees import Sum
from pipeline.exact.values import Expression, Number
from pipeline.procedures import operations as op
from pipeline.procedures.equations import ONE
from pipeline.procedures.parabolas import Quadratic, quadratic_of
from pipeline.procedures.walk import Place, Plan, Walk
from pipeline.reading.judge import RightAnswer
from pipeline.reading.problems import Notation, Problem
from pipeline.records import Numbers
from pipeline.tasks.task import Task, right_of_run


def constant_that_completes(step: Walk, start: Quadratic) -> Surd:
    """Find the number that makes a*x^2 + b*x a perfect square."""
    place = Place.SQUARE_CONSTANT
    whole = start.b / start.a
    half = step.do(op.half, place, whole)
    squared = step.do(op.square, place, half, whole)
    return squared if start.a == ONE else start.a * squared


def _plans(problem: Problem) -> list[Plan]:
    return [Plan("square-constant", constant_that_completes, quadratic_of(problem))]


def _right(problem: Problem, numbers: Numbers) -> RightAnswer:
    """The constant; the whole trinomial holds it in another form."""
    if quadratic_of(problem).c:
        raise CannotBeWorked("it is not of the form x^2 + bx")
    right = right_of_run(_plans(problem), numbers)
    if not isinstance(right.value, Number):
        return right
    return replace(right, other_form=(Expression(Sum((problem.tree, right.value.tree))),))


SQUARE_CONSTANT: Final = Task(
    "square-constant",
    "what makes a perfect square",
    "`x^2 + b x`",
    "x^2 + 6x",
    "9",
    _plans,
    _right,
    notation=Notation(kind="number"),
    chance_by_size=True,
    of_any_numbers=True,
)
