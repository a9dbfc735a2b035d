"""Which procedure serves an expression task, and what it starts from."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from typing import Any, Final

from pipeline.errors import BudgetExceeded
from pipeline.exact.polynomials import polynomial_of
from pipeline.exact.trees import Node, Relation
from pipeline.procedures.logarithm_laws import law_ways
from pipeline.procedures.rewriting.both_signs import (
    has_both_signs,
    with_sign_as_letter,
    work_out_both,
)
from pipeline.procedures.rewriting.conjugates import asks_conjugate, find_conjugate
from pipeline.procedures.rewriting.evaluating import evaluate
from pipeline.procedures.rewriting.factoring import factor_out
from pipeline.procedures.rewriting.seeing import as_seen
from pipeline.procedures.rewriting.working import size_of, work_out
from pipeline.procedures.walk import Walk
from pipeline.reading.calls import has_calls
from pipeline.reading.problems import Problem

__all__ = ["MOST_NODES", "expression_plans"]

MOST_NODES: Final = 60
"""Nodes of the largest expression that is walked; longer ones are judged only."""

MOST_TERMS: Final = 30
"""Terms of the longest result that is walked."""

_Plan = tuple[str, Callable[[Walk, Any], Hashable], Any]


def expression_plans(problem: Problem) -> list[_Plan]:
    """Return name, procedure and start for an expression task; none where it is only judged."""
    tree = problem.tree
    if isinstance(tree, Relation) or size_of(tree) > MOST_NODES or _is_long(tree):
        return []
    if asks_conjugate(problem.text):
        return [("conjugate", find_conjugate, tree)]
    if has_both_signs(tree):
        start = (as_seen(with_sign_as_letter(tree)), problem.task)
        return [(problem.task, work_out_both, start)]
    if has_calls(tree):
        return law_ways(tree)
    if problem.task == "factor":
        return _factoring(tree)
    if problem.substitutions:
        return [("evaluate", evaluate, (tree, problem.substitutions, problem.task))]
    return [(problem.task, work_out, (as_seen(tree), problem.task))]


def _is_long(tree: Node) -> bool:
    """Whether an expression has too many terms when it is multiplied out, such as (a+b+c)^9."""
    try:
        whole = polynomial_of(tree)
    except (BudgetExceeded, ZeroDivisionError):
        return False
    return whole is not None and len(whole.terms) > MOST_TERMS


def _factoring(tree: Node) -> list[_Plan]:
    try:
        whole = polynomial_of(tree)
    except (BudgetExceeded, ZeroDivisionError):
        return []
    if whole is None or len(whole.terms) < 2:
        return []
    return [("factor", factor_out, whole)]
