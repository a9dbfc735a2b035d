"""The way to solve a linear equation in one unknown."""

from __future__ import annotations

from functools import reduce

from pipeline.exact.numbers import Surd
from pipeline.procedures import operations as op
from pipeline.procedures.equations import ZERO, Bracket, Equation
from pipeline.procedures.places import Place
from pipeline.procedures.walk import Walk


def solve_linear(step: Walk, equation: Equation) -> op.Roots | str:
    """Multiply out, gather the unknown on one side and the constants on the other, divide."""
    a, right = isolate_unknown(step, equation)
    if not a:
        return step.do(op.conclude, Place.LINEAR, right)
    a = step.do(op.coefficient_of_unknown, Place.LINEAR, a)
    return frozenset({step.do(op.divide, Place.LINEAR, right, a)})


def isolate_unknown(step: Walk, equation: Equation) -> tuple[Surd, Surd]:
    """Go on to a*x = right, and return a and right; a is zero when no unknown is left."""
    equation = step.do(op.copy_equation, Place.LINEAR, equation)
    a, b = _side(step, equation.brackets[0], equation.left)
    c, d = _side(step, equation.brackets[1], equation.right)
    step.write(Equation, (ZERO, a, b), (ZERO, c, d))
    if not a:
        a, b, c, d = c, d, a, b
    a = step.do(op.carry_unknown, Place.LINEAR, a, c) if c else a
    if not a:
        return a, d - b
    a, b, d = step.do(op.start_isolating, Place.LINEAR, a, b, d)
    d = step.do(op.carry_constant, Place.LINEAR, d, b) if b else d
    step.write(Equation, (ZERO, a, ZERO), (ZERO, ZERO, d))
    return a, d


def _side(
    step: Walk, brackets: tuple[Bracket, ...], whole: tuple[Surd, Surd, Surd]
) -> tuple[Surd, Surd]:
    if not any(bracket.written for bracket in brackets):
        return whole[1], whole[2]
    parts = [
        step.do(op.distribute, Place.LINEAR, term.k, term.p, term.q)
        if term.written
        else (term.p, term.q)
        for term in brackets
    ]
    return reduce(lambda one, two: (one[0] + two[0], one[1] + two[1]), parts)
