"""Plus-minus signs taken both ways, and the checks that every tree must pass."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product

from pipeline.errors import BudgetExceeded
from pipeline.exact.trees import (
    Call,
    Constant,
    Negation,
    Node,
    PlusMinus,
    Power,
    Relation,
    children,
    holds,
    letters,
    mapped,
    nodes,
)
from pipeline.exact.values import Number, number_of
from pipeline.reading.records import MAX_EXPONENT, MAX_PLUS_MINUS, Unread


def count_signs(node: Node) -> int:
    """Count the plus-minus signs of a tree."""
    return sum(isinstance(part, PlusMinus) for part in nodes(node))


def infinity_of(tree: Node) -> int:
    """Return -1 and 1 for the infinities, 0 for a number."""
    if tree == Constant("oo"):
        return 1
    return -1 if tree == Negation(Constant("oo")) else 0


def both_signs(node: Node) -> list[Node]:
    """Return the tree itself, or its two trees with all plus-minus signs varied together.

    Raises:
        Unread: more than `MAX_PLUS_MINUS` signs.
    """
    count = count_signs(node)
    if count > MAX_PLUS_MINUS:
        raise Unread("too large: more than 6 plus-minus signs")
    return [_chosen(node, iter([sign] * count)) for sign in (1, -1)] if count else [node]


def independent_signs(node: Node) -> list[Node]:
    """Return a tree for every choice of every sign."""
    choices = product((1, -1), repeat=count_signs(node))
    return [_chosen(node, iter(choice)) for choice in choices]


def _chosen(node: Node, signs: Iterator[int]) -> Node:
    if isinstance(node, PlusMinus):
        sign = next(signs) * node.upper
        inner = _chosen(node.argument, signs)
        return inner if sign > 0 else Negation(inner)
    return mapped(node, lambda part: _chosen(part, signs))


def check_tree(node: Node) -> None:
    """Refuse what no answer needs.

    Raises:
        Unread: an exponent over `MAX_EXPONENT` on letters, or arithmetic with infinity.
    """
    for part in children(node):
        check_tree(part)
    if isinstance(node, Relation):
        return
    if any(isinstance(part, Constant) and part.name == "oo" for part in children(node)) and not (
        isinstance(node, Negation)
    ):
        raise Unread("arithmetic with infinity")
    if isinstance(node, Power) and letters(node.base) and not letters(node.exponent):
        exponent = None if count_signs(node.exponent) else exact_number(node.exponent).surd
        if (
            exponent is not None
            and exponent.is_rational
            and abs(exponent.as_fraction()) > (MAX_EXPONENT)
        ):
            raise Unread("too large: an exponent over 100")


def exact_number(tree: Node) -> Number:
    """Return a tree as a number.

    Raises:
        Unread: something is divided by zero, or the value is too large.
    """
    try:
        number = number_of(tree)
        if number.surd is None and not letters(tree) and holds(tree, Call):
            _check_value(tree)
        return number
    except ZeroDivisionError as error:
        raise Unread("division by zero") from error
    except BudgetExceeded as error:
        raise Unread(f"too large: {error}") from error


def _check_value(tree: Node) -> None:
    from pipeline.exact.numeric import NotNumeric, numeric_value

    try:
        numeric_value(tree)
    except NotNumeric as error:
        raise Unread("a function has no value there, as log(0)") from error
