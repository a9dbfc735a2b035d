"""Rewriting a quadratic function into vertex form: a(x - h)^2 + k."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Final

from pipeline.exact.evaluate import tree_of_surd
from pipeline.exact.numbers import Surd
from pipeline.exact.trees import Letter, Negation, Node, Numeral, Power, Product, Relation, Sum
from pipeline.exact.values import Equation, Expression
from pipeline.procedures import operations as op
from pipeline.procedures.equations import ONE
from pipeline.procedures.parabolas import Quadratic, quadratic_of
from pipeline.procedures.walk import Place, Plan, Walk
from pipeline.reading.judge import RightAnswer
from pipeline.reading.problems import Notation, Problem
from pipeline.records import Numbers
from pipeline.tasks.task import Asked, Task, right_of_run

_NAME: Final = re.compile(r"^(\s*\$?)\s*[A-Za-z]\s*(?:\(\s*[A-Za-z]\s*\))?\s*=\s*")
_TWO: Final = Numeral(Surd.of(2).as_fraction())


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


def complete_square(step: Walk, a: Surd, b: Surd, c: Surd) -> tuple[Surd, Surd]:
    """Take a out, add and take off the square of half of what is left; return term and constant."""
    whole = step.do(take_out_leading, Place.REWRITING, a, b)
    half = step.do(op.half, Place.REWRITING, whole)
    added = step.do(op.square, Place.REWRITING, half, whole)
    term = step.do(op.binomial_term, Place.REWRITING, half, added, whole)
    return term, step.do(make_up_for, Place.REWRITING, c, a, added)


def rewrite_around_square(step: Walk, start: Quadratic) -> Node:
    """Complete the square, and write the function around it."""
    a, b, c, letter = start
    term, constant = complete_square(step, a, b, c)
    return step.do(vertex_form, Place.REWRITING, a, term, constant, letter)


def _plans(problem: Problem) -> list[Plan]:
    return [Plan("rewrite", rewrite_around_square, quadratic_of(problem))]


def _right(problem: Problem, numbers: Numbers) -> RightAnswer:
    """The vertex form; `y = a(x - h)^2 + k` says the same in another form."""
    right = right_of_run(_plans(problem), numbers)
    if not isinstance(right.value, Expression):
        return right
    stated = Equation(Relation((Letter("y"), right.value.tree), ("=",)))
    return replace(right, other_form=(stated,))


def _without_name(answer: str, _: Asked) -> str:
    """Take off the name of the function, `k(x) =`."""
    return _NAME.sub(r"\1", answer)


REWRITE: Final = Task(
    "rewrite",
    "the function in vertex form",
    "`y = ...` or an expression",
    "y = 2x^2 + 8x + 3",
    "y = 2(x + 2)^2 - 5",
    _plans,
    _right,
    notation=Notation(kind="expression"),
    form="vertex",
    rewritten=_without_name,
    of_any_numbers=True,
)
