"""The way through an expression: each place as written, then its parts, then the place again."""

from __future__ import annotations

from functools import lru_cache
from typing import Final

from pipeline.errors import CannotBeWorked
from pipeline.exact.numbers import Surd
from pipeline.exact.trees import Node, Root, Sum, children, with_children
from pipeline.procedures.rewriting.canonical import as_one_fraction, canonical
from pipeline.procedures.rewriting.operations import OPERATIONS, add, copy_expression, write_answer
from pipeline.procedures.rewriting.terms import value_of
from pipeline.procedures.walk import NO_REAL, Walk

MOST_NODES: Final = 60
"""Nodes of the largest expression that is walked; longer ones are judged only."""
LARGE: Final = 20
"""Nodes above which pairs of faults are too many to be worth their time."""


@lru_cache(maxsize=1024)
def size_of(node: Node) -> int:
    """Return the number of nodes of a tree."""
    return 1 + sum(map(size_of, children(node)))


def work_out(step: Walk, start: tuple[Node, str]) -> Node:
    """Simplify, expand or evaluate an expression; in a large one a second fault is not looked for.

    Args:
        step: the walk.
        start: the expression, and the task as the place of all its steps.
    """
    node, place = start
    if step.replay and size_of(node) > LARGE:
        step.logged = False
    node = step.do(copy_expression, place, node)
    result = worked(step, place, node)
    if isinstance(result, Sum) and result != node:
        result = canonical(step.do(add, place, result))
    return step.do(write_answer, place, result)


def worked(step: Walk, place: str, node: Node) -> Node:
    """Work out one place of an expression, and all places inside it."""
    return canonical(_reached(step, place, node))


def _reached(step: Walk, place: str, node: Node) -> Node:
    """Work out one place as far as its parts; what is left is work by the rules."""
    if type(node) not in OPERATIONS:
        return node
    if _only_value_counts(step) and not _holds_root(node):
        return canonical(node)
    seen = _looked_at(step, place, node)
    parts = children(seen)
    reached = tuple([_reached(step, place, part) for part in parts])
    done = tuple(map(canonical, reached))
    if done != parts:
        seen = _with_parts(step, place, seen, reached, done)
    if isinstance(seen, Root) and _is_negative(value_of(seen.radicand)):
        step.may_end(NO_REAL)
    return seen


def _with_parts(
    step: Walk, place: str, seen: Node, reached: tuple[Node, ...], done: tuple[Node, ...]
) -> Node:
    """Look at a place with its parts worked out; at a sum first with fractions not reduced."""
    if isinstance(seen, Sum):
        kept = tuple(map(as_one_fraction, reached, done))
        if kept not in (done, seen.terms):
            written = with_children(seen, kept)
            found = _looked_at(step, place, written)
            if found != written:
                return found
    return _looked_at(step, place, with_children(seen, done))


def _looked_at(step: Walk, place: str, node: Node) -> Node:
    """Do the operation of a place.

    Raises:
        CannotBeWorked: it was rewritten without a change of its value, which is no fault.
    """
    seen = step.do(OPERATIONS[type(node)], place, node)
    if seen != node and _has_same_value(seen, node):
        raise CannotBeWorked
    return seen


def _has_same_value(seen: Node, written: Node) -> bool:
    """Whether a rewrite changed no value; what is divided by zero has none."""
    try:
        return canonical(seen) == canonical(written)
    except ZeroDivisionError:
        return False


def _only_value_counts(step: Walk) -> bool:
    """Whether all faults of a run are made and its log is not kept: then every way gives the same.

    Most runs of a walk are of this kind, and most of their work lies behind the last fault.
    """
    return not step.logged and step.count >= len(step.replay)


@lru_cache(maxsize=8192)
def _holds_root(node: Node) -> bool:
    return isinstance(node, Root) or any(map(_holds_root, children(node)))


def _is_negative(value: Surd | None) -> bool:
    return value is not None and value.is_real and value.real_sign() < 0
