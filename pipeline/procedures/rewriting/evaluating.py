"""Expressions worked as a question asks: at numbers, for both signs of a ±, or as a conjugate."""

from __future__ import annotations

import re
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
    Substitution,
    exchanged,
    letters,
    mapped,
    replaced,
)
from pipeline.procedures.places import Place
from pipeline.procedures.rewriting.canonical import canonical
from pipeline.procedures.rewriting.terms import IMAGINARY, number
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
    found = surd_of(canonical(replaced(tree, ((_SIGN, number(sign)),))))
    if found is None:
        raise CannotBeWorked
    return found


def work_out_both(step: Walk, start: tuple[Node, str]) -> frozenset[Surd]:
    """Work out an expression for both signs at once: a fault befalls both alike."""
    result = work_out(step, start)
    return step.do(values_of_both, start[1], result)
