"""Expressions in their simplest form; expand and evaluate are worked the same way."""

from __future__ import annotations

from typing import Final

from pipeline.errors import CannotBeWorked
from pipeline.exact.polynomials import polynomial_of
from pipeline.exact.trees import (
    Constant,
    Node,
    PlusMinus,
    Relation,
    holds,
    letters,
    nodes,
    replaced,
)
from pipeline.exact.values import (
    Expression,
    Number,
    Roots,
    Statement,
    StatementCode,
    Value,
)
from pipeline.procedures.endings import value_of
from pipeline.procedures.logarithm_laws import law_plans
from pipeline.procedures.rewriting.regrouping import as_seen, next_lines
from pipeline.procedures.rewriting.terms import canonical, holds_letter_root
from pipeline.procedures.rewriting.working import (
    MOST_NODES,
    asks_conjugate,
    conjugate,
    evaluate,
    find_conjugate,
    size_of,
    values_of_both,
    with_sign_as_letter,
    work_out,
    work_out_both,
)
from pipeline.procedures.walk import Plan
from pipeline.reading.calls import has_calls
from pipeline.reading.judge import RightAnswer
from pipeline.reading.problems import Notation, Problem
from pipeline.records import Numbers
from pipeline.tasks.task import Task

MOST_TERMS: Final = 30
"""Terms of the longest result that is walked."""


def expression_plans(problem: Problem) -> list[Plan]:
    """Return the procedures for an expression; none where it is only judged."""
    tree, task = problem.tree, problem.task
    if not is_walked(tree):
        return []
    if asks_conjugate(problem.text):
        return [Plan("conjugate", find_conjugate, tree)]
    if holds(tree, PlusMinus):
        return [Plan(task, work_out_both, (as_seen(with_sign_as_letter(tree)), task))]
    if has_calls(tree):
        return law_plans(tree)
    if problem.substitutions:
        return [Plan("evaluate", evaluate, (tree, problem.substitutions, task))]
    further = [Plan("next line", work_out, (line, task)) for line in next_lines(tree)]
    return [Plan(task, work_out, (as_seen(tree), task)), *further]


def is_walked(tree: Node) -> bool:
    """Whether an expression is short, and has few terms when it is multiplied out."""
    if isinstance(tree, Relation) or size_of(tree) > MOST_NODES:
        return False
    try:
        whole = polynomial_of(tree)
    except (CannotBeWorked, ZeroDivisionError):
        return True
    return whole is None or len(whole.terms) <= MOST_TERMS


def right_expression(problem: Problem, numbers: Numbers) -> RightAnswer:
    """Compute the right answer of expand, simplify or evaluate.

    A root of a negative number has no real value; its complex value is as right, and no real
    number is right only where the question is over the real numbers and does not write i itself.
    Letters under a square root are taken as not negative; the expression as written is as right.

    Raises:
        CannotBeWorked: the problem is an equation, or its value cannot be computed.
        ZeroDivisionError: something is divided by zero.
    """
    if isinstance(problem.tree, Relation):
        raise CannotBeWorked("an expression was expected, not an equation")
    tree = replaced(problem.tree, problem.substitutions)
    if asks_conjugate(problem.text):
        return RightAnswer(value_of(conjugate(tree)))
    if holds(tree, PlusMinus):
        return _of_both(tree)
    value = value_of(canonical(tree))
    if numbers == "real" and _leaves_the_reals(value) and Constant("i") not in nodes(tree):
        return RightAnswer(
            Statement(StatementCode.NO_REAL),
            also=(Statement(StatementCode.NO_SOLUTION), value),
        )
    if letters(tree) and holds_letter_root(tree):
        return RightAnswer(value, also=(Expression(tree),))
    return RightAnswer(value)


def _of_both(tree: Node) -> RightAnswer:
    try:
        found = values_of_both(with_sign_as_letter(tree))
    except CannotBeWorked as error:
        raise CannotBeWorked("with a plus-minus sign, only numbers can be worked out") from error
    ordered = sorted(found, key=lambda one: one.approximate().real, reverse=True)
    return RightAnswer(Roots(tuple(Number.exactly(one) for one in ordered)))


def _leaves_the_reals(value: Value) -> bool:
    return isinstance(value, Number) and value.surd is not None and not value.surd.is_real


SIMPLIFY: Final = Task(
    "simplify",
    "the simplest form",
    "an expression; `conjugate of` may stand before it",
    "sqrt(50) + sqrt(8)",
    "7sqrt(2)",
    expression_plans,
    right_expression,
    notation=Notation(kind="expression", of_lone_logarithm="logarithm"),
    form="simplified",
    beside=("positive-exponents",),
    verbs=("simplif", "vereinfach"),
    chance_by_size=True,
    of_any_numbers=True,
    of_expression=True,
)
