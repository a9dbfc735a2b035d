"""Syntax trees that keep what was written: no sum is added up, no sign moved.

Subtraction is a `Sum` with a `Negation`, division a `Quotient`; brackets leave no node behind.
A tree is immutable and hashable, so it can be a key of a cache.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import TypeAlias

__all__ = [
    "Absolute",
    "Call",
    "Constant",
    "Letter",
    "Negation",
    "Node",
    "Numeral",
    "PlusMinus",
    "Power",
    "Product",
    "Quotient",
    "Relation",
    "Root",
    "Sum",
    "children",
    "letters",
]


@dataclass(frozen=True, slots=True)
class Numeral:
    """A number as typed: an integer or a decimal, never negative.

    `places` counts typed decimals and is None for an integer.
    """

    value: Fraction
    places: int | None = None


@dataclass(frozen=True, slots=True)
class Constant:
    """A number with a name: `pi`, `e`, `i` or `oo`."""

    name: str


@dataclass(frozen=True, slots=True)
class Letter:
    """An unknown or a parameter, case kept."""

    name: str


@dataclass(frozen=True, slots=True)
class Sum:
    """Two or more terms, in the order written."""

    terms: tuple[Node, ...]


@dataclass(frozen=True, slots=True)
class Product:
    """Two or more factors, in the order written."""

    factors: tuple[Node, ...]


@dataclass(frozen=True, slots=True)
class Negation:
    """A minus sign before a term."""

    argument: Node


@dataclass(frozen=True, slots=True)
class Quotient:
    """A fraction or a division."""

    numerator: Node
    denominator: Node


@dataclass(frozen=True, slots=True)
class Power:
    """A base with an exponent."""

    base: Node
    exponent: Node


@dataclass(frozen=True, slots=True)
class Root:
    """A radical; `index` 2 is the square root."""

    radicand: Node
    index: Node = Numeral(Fraction(2))


@dataclass(frozen=True, slots=True)
class Absolute:
    """An absolute value."""

    argument: Node


@dataclass(frozen=True, slots=True)
class PlusMinus:
    """A sign that is both: `upper` is +1 where the plus stands on top, -1 for the reverse sign."""

    argument: Node
    upper: int = 1


@dataclass(frozen=True, slots=True)
class Call:
    """A named function such as `f(x)` or `log(x)`; `base` only where one is written."""

    name: str
    arguments: tuple[Node, ...]
    base: Node | None = None


@dataclass(frozen=True, slots=True)
class Relation:
    """A chain of relations: `sides` has one more entry than `signs`.

    Signs are `=`, `!=`, `<`, `<=`, `>`, `>=` and `~` (about).
    """

    sides: tuple[Node, ...]
    signs: tuple[str, ...]


Node: TypeAlias = (
    Numeral
    | Constant
    | Letter
    | Sum
    | Product
    | Negation
    | Quotient
    | Power
    | Root
    | Absolute
    | PlusMinus
    | Call
    | Relation
)


def children(node: Node) -> tuple[Node, ...]:
    """Return the parts of a node, in the order written; a leaf has none."""
    match node:
        case Numeral() | Constant() | Letter():
            return ()
        case Sum(parts) | Product(parts) | Relation(parts):
            return parts
        case Negation(part) | Absolute(part) | PlusMinus(part):
            return (part,)
        case Quotient(first, second) | Power(first, second) | Root(first, second):
            return (first, second)
        case Call(_, arguments, base):
            return arguments if base is None else (*arguments, base)


def letters(node: Node) -> frozenset[str]:
    """Return the names of all letters in a tree."""
    return frozenset(_letters(node))


def _letters(node: Node) -> Iterator[str]:
    if isinstance(node, Letter):
        yield node.name
    for part in children(node):
        yield from _letters(part)
