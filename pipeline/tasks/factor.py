"""Polynomials written as products."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from pipeline.exact.factors import is_irreducible
from pipeline.exact.polynomials import polynomial_of
from pipeline.exact.trees import PlusMinus, Product, holds, letters, replaced
from pipeline.exact.values import Expression, Roots, Statement, StatementCode
from pipeline.procedures.endings import value_of
from pipeline.procedures.rewriting.factoring import factor_out
from pipeline.procedures.rewriting.working import asks_conjugate
from pipeline.procedures.walk import Plan
from pipeline.reading.calls import has_calls
from pipeline.reading.judge import RightAnswer
from pipeline.reading.problems import Notation, Problem
from pipeline.reading.records import ReadAnswer, Reading
from pipeline.records import Numbers
from pipeline.tasks.simplify import expression_plans, is_walked, right_expression
from pipeline.tasks.task import Asked, Task


def _is_other(problem: Problem) -> bool:
    return asks_conjugate(problem.text) or holds(problem.tree, PlusMinus)


def _plans(problem: Problem) -> list[Plan]:
    tree = problem.tree
    if not is_walked(tree):
        return []
    if _is_other(problem) or has_calls(tree):
        return expression_plans(problem)
    whole = polynomial_of(tree)
    if whole is None or len(whole.terms) < 2:
        return []
    return [Plan("factor", factor_out, whole)]


def _right(problem: Problem, numbers: Numbers) -> RightAnswer:
    """The polynomial, whose form is judged apart; PRIME where it has no factors."""
    if problem.relations or _is_other(problem):
        return right_expression(problem, numbers)
    tree = replaced(problem.tree, problem.substitutions)
    value = value_of(tree)
    whole = polynomial_of(tree)
    if whole is not None and is_irreducible(whole):
        return RightAnswer(Statement(StatementCode.PRIME), also=(value,))
    return RightAnswer(value)


def _multiplied(read: ReadAnswer, _: Asked) -> ReadAnswer:
    """Take a list of factors, `x + 3, x - 3`, for their product."""
    return replace(read, readings=tuple(map(_product, read.readings)))


def _product(reading: Reading) -> Reading:
    value = reading.value
    if not isinstance(value, Roots):
        return reading
    factors = tuple(one.tree for one in value.members)
    if sum(bool(letters(one)) for one in factors) < 2:
        return reading
    remarks = ("the factors in a list stand for their product", *reading.remarks)
    product = Expression(Product(factors))
    return replace(reading, value=product, remarks=remarks, convention="factor-list")


FACTOR: Final = Task(
    "factor",
    "the factored form",
    "a polynomial",
    "x^2 + 5x + 6",
    "(x + 2)(x + 3)",
    _plans,
    _right,
    notation=Notation(kind="expression", i_is_letter=True),
    form="factored",
    meant=_multiplied,
    verbs=("factor", "faktor"),
    chance_by_size=True,
    of_any_numbers=True,
    of_expression=True,
)
