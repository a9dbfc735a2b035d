"""The way through an expression: each place as written, then its parts, then the place again."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Final

from pipeline.errors import CannotBeWorked
from pipeline.exact.evaluate import surd_of
from pipeline.exact.numbers import Surd
from pipeline.exact.trees import (
    Letter,
    Negation,
    Node,
    PlusMinus,
    Product,
    Root,
    Substitution,
    Sum,
    children,
    exchanged,
    letters,
    mapped,
    replaced,
    with_children,
)
from pipeline.procedures.rewriting.operations import OPERATIONS, add, copy_expression, write_answer
from pipeline.procedures.rewriting.terms import (
    IMAGINARY,
    as_one_fraction,
    canonical,
    number,
    value_of,
)
from pipeline.procedures.walk import NO_REAL, Place, Walk, needed

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


_ASKS: Final = re.compile(r"\bconjugate\b", re.IGNORECASE)


def asks_conjugate(text: str) -> bool:
    """Whether a question asks for the conjugate of the number in it."""
    return _ASKS.search(text) is not None


def conjugate(node: Node) -> Node:
    """Change the sign of the imaginary part."""
    return canonical(exchanged(node, IMAGINARY, Negation(IMAGINARY)))


def find_conjugate(step: Walk, node: Node) -> Node:
    """Write the conjugate down."""
    return step.do(conjugate, Place.CONJUGATE, node)


_SIGN: Final = "±"
"""No problem has a letter of this name."""


def with_sign_as_letter(tree: Node) -> Node:
    """Write a product with the letter of the sign for every plus-minus; a minus-plus turns it."""
    if isinstance(tree, PlusMinus):
        sign: Node = Letter(_SIGN)
        factors = (sign,) if tree.upper == 1 else (number(-1), sign)
        return Product((*factors, with_sign_as_letter(tree.argument)))
    return mapped(tree, with_sign_as_letter)


def values_of_both(tree: Node) -> frozenset[Surd]:
    """Return the two numbers that an expression with the letter of the sign stands for.

    Raises:
        CannotBeWorked: they are no surds, or the sign was lost on the way.
    """
    if _SIGN not in letters(tree):
        raise CannotBeWorked
    return frozenset((value_with(tree, 1), value_with(tree, -1)))


def value_with(tree: Node, sign: int) -> Surd:
    """Return the number that an expression stands for with a plus or a minus.

    Raises:
        CannotBeWorked: it is no surd.
    """
    return needed(surd_of(canonical(replaced(tree, ((_SIGN, number(sign)),)))))


def work_out_both(step: Walk, start: tuple[Node, str]) -> frozenset[Surd]:
    """Work out an expression for both signs at once: a fault befalls both alike."""
    result = work_out(step, start)
    return step.do(values_of_both, start[1], result)
