"""Putting numbers in the place of letters, and working out what results."""

from __future__ import annotations

from pipeline.exact.trees import Node, Substitution, replaced
from pipeline.procedures.rewriting.working import work_out
from pipeline.procedures.walk import Walk


def substitute(tree: Node, values: Substitution) -> Node:
    """Put numbers in the place of letters, each in brackets of its own."""
    return replaced(tree, values)


def evaluate(step: Walk, start: tuple[Node, Substitution, str]) -> Node:
    """Evaluate an expression at given numbers.

    Args:
        step: the walk.
        start: the expression, the numbers, and the task as the place of all steps.
    """
    tree, values, place = start
    return work_out(step, (step.do(substitute, place, tree, values), place))
