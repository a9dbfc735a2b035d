"""The named operations on the places of an expression, each in its right version.

An operation looks at one place of a tree before it is worked by the rules, and on the right path
leaves it as it stands. A pattern declares a faulty version beside it: a wrong rewrite of that
place, which takes the tree and returns another one. Each place is met twice, first as it is
written, then with its parts worked out.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Final

from pipeline.exact.trees import (
    Absolute,
    MixedNumber,
    Negation,
    Node,
    Power,
    Product,
    Quotient,
    Root,
    Sum,
)


def copy_expression(tree: Node) -> Node:
    """Write the expression down."""
    return tree


def write_answer(result: Node) -> Node:
    """Write down what came out."""
    return result


def add(place: Sum) -> Node:
    """Add and subtract the terms of a sum."""
    return place


def multiply(place: Product) -> Node:
    """Multiply the factors of a product."""
    return place


def divide(place: Quotient) -> Node:
    """Divide, or reduce a fraction."""
    return place


def raise_to_power(place: Power) -> Node:
    """Raise a base to a power."""
    return place


def take_root(place: Root) -> Node:
    """Take a root."""
    return place


def drop_minus(place: Negation) -> Node:
    """Work out a minus sign before a term."""
    return place


def take_absolute(place: Absolute) -> Node:
    """Take an absolute value."""
    return place


OPERATIONS: Final[Mapping[type, Callable[..., Node]]] = MappingProxyType(
    {
        Sum: add,
        MixedNumber: add,
        Product: multiply,
        Quotient: divide,
        Power: raise_to_power,
        Root: take_root,
        Negation: drop_minus,
        Absolute: take_absolute,
    }
)
"""The operation that works a kind of node."""
