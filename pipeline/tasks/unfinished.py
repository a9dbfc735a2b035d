"""Right answers in which something of what was asked is left to be done: right in another form."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from pipeline.exact.trees import (
    Absolute,
    Letter,
    Negation,
    Node,
    Numeral,
    Product,
    Quotient,
    Relation,
    Sum,
    holds,
    letters,
    mapped,
)
from pipeline.exact.values import Equation, Expression, Number, Value, value_key
from pipeline.reading.brackets import BACKWARDS
from pipeline.reading.calls import has_calls
from pipeline.reading.forms import EXPECTED
from pipeline.reading.judge import Judgement, RightAnswer
from pipeline.reading.problems import Problem
from pipeline.reading.records import Reading
from pipeline.reading.relations import BARS_KEPT, UNSOLVED
from pipeline.records import Verdict
from pipeline.tasks.task import Task

_ONE: Final = Numeral(Fraction(1))
_AGAIN: Final = "this is the question again"
_NOT_FACTORED: Final = "a product was expected; this is a sum that equals the question"
_UNSOLVED: Final = "the letter asked for was expected alone on one side"
_HELD: Final = {
    UNSOLVED: _UNSOLVED,
    BARS_KEPT: _UNSOLVED,
    BACKWARDS: "an interval runs from its left end to its right one",
    "zero-product": "the solutions were expected, not the factored equation",
    "set-to-zero": "the expression alone was expected, not an equation",
    "slope-and-intercept": "the equation of the line was expected",
}
"""Conventions by which an answer holds the right value without giving it."""


def with_what_is_left(
    found: Judgement, right: RightAnswer, task: Task, problem: Problem | None
) -> Judgement:
    """Weigh as right in another form what is true and leaves undone what the task asks for.

    A sum is no factoring, however much of it was factored: nothing of what was asked is done.
    """
    used = found.used
    if used is None or problem is None:
        return found
    value = used.value
    if isinstance(value, Equation) and task.of_letter:
        left = _UNSOLVED if _is_unsolved(value, found.verdict, right, problem) else None
    elif found.verdict is Verdict.RIGHT:
        left = _left_to_do(used, right, task, problem)
    elif found.verdict is Verdict.RIGHT_OTHER_FORM and task.form == "factored" and _is_sum(value):
        return Judgement(Verdict.WRONG, used, _NOT_FACTORED)
    else:
        return found
    return found if left is None else Judgement(Verdict.RIGHT_OTHER_FORM, used, left)


def _left_to_do(used: Reading, right: RightAnswer, task: Task, problem: Problem) -> str | None:
    value = used.value
    numbers = isinstance(value, Number) and isinstance(right.value, Number)
    if numbers and has_calls(value) and not has_calls(right.value):  # log_2(8) for 3
        return EXPECTED["worked-out"]
    if isinstance(value, Expression) and task.form == "any" and not task.of_words:
        return _AGAIN if _is_question(value, right, problem) else None
    if used.convention == BARS_KEPT and not holds(problem.tree, Absolute):
        return None
    return _HELD.get(used.convention)


def _is_unsolved(value: Equation, verdict: Verdict, right: RightAnswer, problem: Problem) -> bool:
    """Whether an equation is true, and not solved for the letter that a formula is asked for."""
    formulas = [one for one in (right.value, *right.also) if isinstance(one, Equation)]
    asked = {name.casefold() for one in formulas for name in _alone(one.relation)}
    if verdict is Verdict.RIGHT:
        return bool(asked) and asked.isdisjoint(map(str.casefold, _alone(value.relation)))
    same = isinstance(right.value, Equation) and len(problem.relations) == 1
    return same and value_key(value) == value_key(Equation(problem.relations[0]))


def _alone(relation: Relation) -> list[str]:
    """The letters that stand alone on one side, and not on the other."""
    first, last = relation.sides[0], relation.sides[-1]
    pairs = ((first, last), (last, first))
    return [
        one.name
        for one, other in pairs
        if isinstance(one, Letter) and one.name not in letters(other)
    ]


def _is_question(value: Expression, right: RightAnswer, problem: Problem) -> bool:
    """Whether an expression of any form is that of the question, terms and factors in any order."""
    plain = _plain(value.tree)
    changed = isinstance(right.value, Expression) and _plain(right.value.tree) != plain
    return changed and plain == _plain(problem.tree)


def _is_sum(value: Value) -> bool:
    """Whether a sum is left when signs, numbers below it and ones beside it are passed over."""
    tree = _plain(value.tree) if isinstance(value, Expression) else None
    while isinstance(tree, Negation | Quotient):
        tree = tree.argument if isinstance(tree, Negation) else tree.numerator
    return isinstance(tree, Sum)


def _plain(node: Node) -> Node:
    """Write terms and factors in one order, without ones."""
    match mapped(node, _plain):
        case Sum(terms):
            return Sum(tuple(sorted(terms, key=repr)))
        case Product(factors):
            kept = tuple(sorted((one for one in factors if one != _ONE), key=repr))
            return Product(kept) if len(kept) > 1 else (*kept, _ONE)[0]
        case other:
            return other
