"""What else is right, or right in a form that nobody asked for, by task."""

from __future__ import annotations

from dataclasses import replace

from pipeline.exact.trees import Sum
from pipeline.exact.values import Expression, Number, Statement
from pipeline.reading.judge import RightAnswer
from pipeline.reading.problems import Problem

__all__ = ["with_other_forms"]


def with_other_forms(task: str, problem: Problem, right: RightAnswer) -> RightAnswer:
    """Add what is right, or is in another form.

    The constant that completes a square may stand in its trinomial. The root of a negative number
    is no real number, and as right in i, whoever asks for it.
    """
    if task in ("simplify", "evaluate") and isinstance(right.value, Statement):
        return replace(right, also=(*right.also, *right.other_form), other_form=())
    if task != "square-constant" or not isinstance(right.value, Number):
        return right
    whole = Expression(Sum((problem.tree, right.value.tree)))
    return replace(right, other_form=(*right.other_form, whole))
