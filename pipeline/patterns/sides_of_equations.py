"""Sides of linear equations, as errors of arithmetic go wrong on one of them."""

from __future__ import annotations

from pipeline.exact.numbers import Surd
from pipeline.procedures.equations import ZERO, Bracket, Equation

Side = tuple[Bracket, ...]


def whole_side(side: Side) -> tuple[Surd, Surd, Surd]:
    """Return a side with its brackets multiplied out, the square first."""
    p = sum((term.k * term.p for term in side), ZERO)
    q = sum((term.k * term.q for term in side), ZERO)
    return ZERO, p, q


def with_side(equation: Equation, place: int, terms: Side) -> Equation:
    """The equation with other terms on one side."""
    sides = [equation.brackets[0], equation.brackets[1]]
    sides[place] = terms
    whole = [whole_side(side) for side in sides]
    return Equation(whole[0], whole[1], brackets=(sides[0], sides[1]))
