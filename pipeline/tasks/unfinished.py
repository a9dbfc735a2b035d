"""Right answers in which something of what was asked is left to be done: right in another form."""

from __future__ import annotations

from typing import Final

from pipeline.exact.trees import Absolute, Letter, Node, Product, Relation, Sum, children, letters
from pipeline.exact.values import Equation, Expression, Number, value_key
from pipeline.reading.calls import has_calls
from pipeline.reading.forms import EXPECTED
from pipeline.reading.judge import Judgement, RightAnswer
from pipeline.reading.problems import Problem
from pipeline.reading.relations import BARS_KEPT, UNSOLVED
from pipeline.reading.signs import mapped
from pipeline.records import Verdict
from pipeline.tasks.task import Task

__all__ = ["with_what_is_left"]

_FOR_LETTER: Final = ("solve", "solve-for")
_UNSOLVED: Final = "the letter asked for was expected alone on one side"
_HELD: Final = {
    UNSOLVED: _UNSOLVED,
    BARS_KEPT: _UNSOLVED,
    "zero-product": "the solutions were expected, not the factored equation",
    "set-to-zero": "the expression alone was expected, not an equation",
    "slope-and-intercept": "the equation of the line was expected",
}
"""Conventions by which an answer holds the right value without giving it."""


def with_what_is_left(
    judgement: Judgement, right: RightAnswer, task: Task, problem: Problem | None
) -> Judgement:
    """Weigh as right in another form what is true and leaves undone what the task asks for."""
    found = task.weighed(judgement, right)
    used = found.used
    if used is None or problem is None:
        return found
    value, left = used.value, None
    if isinstance(value, Equation) and task.name in _FOR_LETTER:
        left = _UNSOLVED if _is_unsolved(value, found.verdict, right, problem) else None
    elif found.verdict is Verdict.RIGHT and isinstance(value, Number):
        left = EXPECTED["worked-out"] if _names_number(value, right) else None
    elif found.verdict is Verdict.RIGHT and isinstance(value, Expression) and task.form == "any":
        left = "this is the question again" if _is_question(value, right, problem) else None
    if found.verdict is Verdict.RIGHT and (used.convention != BARS_KEPT or _has_bars(problem.tree)):
        left = left or _HELD.get(used.convention)
    return found if left is None else Judgement(Verdict.RIGHT_OTHER_FORM, used, left)


def _is_unsolved(value: Equation, verdict: Verdict, right: RightAnswer, problem: Problem) -> bool:
    """Whether an equation is true, and not solved for the letter that a formula is asked for."""
    formulas = [one for one in (right.value, *right.also) if isinstance(one, Equation)]
    asked = {name.casefold() for one in formulas for name in _alone(one.relation)}
    if verdict is Verdict.RIGHT:
        return bool(asked) and asked.isdisjoint(map(str.casefold, _alone(value.relation)))
    same = isinstance(right.value, Equation) and len(problem.relations) == 1
    return same and value_key(value) == value_key(Equation(problem.relations[0]))


def _has_bars(node: Node) -> bool:
    """Whether bars stand in the question itself, so that keeping them solves nothing."""
    return isinstance(node, Absolute) or any(map(_has_bars, children(node)))


def _alone(relation: Relation) -> list[str]:
    """The letters that stand alone on one side, and not on the other."""
    first, last = relation.sides[0], relation.sides[-1]
    pairs = ((first, last), (last, first))
    return [
        one.name
        for one, other in pairs
        if isinstance(one, Letter) and one.name not in letters(other)
    ]


def _names_number(value: Number, right: RightAnswer) -> bool:
    """Whether a function is left in the place of a number that has no need of one: log_2(8)."""
    return has_calls(value) and isinstance(right.value, Number) and not has_calls(right.value)


def _is_question(value: Expression, right: RightAnswer, problem: Problem) -> bool:
    """Whether an expression of any form is that of the question, terms and factors in any order."""
    plain = _plain(value.tree)
    changed = isinstance(right.value, Expression) and _plain(right.value.tree) != plain
    return changed and problem.task != "translate" and plain == _plain(problem.tree)


def _plain(node: Node) -> Node:
    """Write terms and factors in one order."""
    match mapped(node, _plain):
        case Sum(terms):
            return Sum(tuple(sorted(terms, key=repr)))
        case Product(factors):
            return Product(tuple(sorted(factors, key=repr)))
        case other:
            return other
