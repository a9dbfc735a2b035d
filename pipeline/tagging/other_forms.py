"""Right values in a form that nobody asked for, by task."""

from __future__ import annotations

from dataclasses import replace

from pipeline.exact.trees import Sum
from pipeline.exact.values import Expression, Number
from pipeline.reading.judge import RightAnswer
from pipeline.reading.problems import Problem

__all__ = ["with_other_forms"]


def with_other_forms(task: str, problem: Problem, right: RightAnswer) -> RightAnswer:
    """Add what is right in another form: the constant that completes a square, in its trinomial."""
    if task != "square-constant" or not isinstance(right.value, Number):
        return right
    whole = Expression(Sum((problem.tree, right.value.tree)))
    return replace(right, other_form=(*right.other_form, whole))
