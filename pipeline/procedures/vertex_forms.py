"""Rewriting a quadratic function into vertex form: a(x - h)^2 + k."""

from __future__ import annotations

from typing import Final, NamedTuple

from pipeline.exact.building import tree_of_surd
from pipeline.exact.numbers import Surd
from pipeline.exact.trees import Letter, Negation, Node, Numeral, Power, Product, Relation, Sum
from pipeline.exact.values import Equation, Expression
from pipeline.procedures import operations as op
from pipeline.procedures.equations import ONE
from pipeline.procedures.walk import Abandoned, Walk
from pipeline.reading.judge import RightAnswer

__all__ = [
    "REWRITING",
    "Quadratic",
    "make_up_for",
    "rewrite_around_square",
    "rewritten",
    "take_out_leading",
    "vertex_form",
]

REWRITING: Final = "rewriting"
_TWO: Final = Numeral(Surd.of(2).as_fraction())


class Quadratic(NamedTuple):
    """The function a*x^2 + b*x + c, and its letter."""

    a: Surd
    b: Surd
    c: Surd
    letter: str


def take_out_leading(a: Surd, b: Surd) -> Surd:
    """Take a out of the first two terms; return what is left before the letter."""
    return b / a


def make_up_for(c: Surd, a: Surd, added: Surd) -> Surd:
    """Take off the constant what the added square brought in, times the number before it."""
    return c - a * added


def vertex_form(a: Surd, term: Surd, constant: Surd, letter: str) -> Node:
    """Write a(x + term)^2 + constant."""
    inside: Node = Letter(letter)
    if term:
        inside = Sum((inside, _signed(term)))
    square: Node = Power(inside, _TWO)
    if a == -ONE:
        square = Negation(square)
    elif a != ONE:
        square = Product((tree_of_surd(a), square))
    return Sum((square, _signed(constant))) if constant else square


def _signed(number: Surd) -> Node:
    negative = number.is_real and number.real_sign() < 0
    return Negation(tree_of_surd(-number)) if negative else tree_of_surd(number)


def rewrite_around_square(step: Walk, start: Quadratic) -> Node:
    """Take a out, add and take off the square of half the number before the letter."""
    a, b, c, letter = start
    if not a:
        raise Abandoned
    whole = step.do(take_out_leading, REWRITING, a, b)
    half = step.do(op.half, REWRITING, whole)
    added = step.do(op.square, REWRITING, half, whole)
    term = step.do(op.binomial_term, REWRITING, half, added, whole)
    constant = step.do(make_up_for, REWRITING, c, a, added)
    return step.do(vertex_form, REWRITING, a, term, constant, letter)


def rewritten(a: Surd, b: Surd, c: Surd, letter: str) -> RightAnswer:
    """Return the vertex form; `y - k = a(x - h)^2` says the same in another form.

    Raises:
        ZeroDivisionError: there is no square.
    """
    half = b / (2 * a)
    body = vertex_form(a, half, c - a * half * half, letter)
    stated = Equation(Relation((Letter("y"), body), ("=",)))
    return RightAnswer(Expression(body), other_form=(stated,))
