"""What an answer can be: the kinds of value, each frozen and hashable."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from typing import Literal, TypeAlias

from pipeline.exact.evaluate import surd_of, tree_of_surd
from pipeline.exact.numbers import Surd, SurdLike
from pipeline.exact.trees import (
    Constant,
    Letter,
    Negation,
    Node,
    Numeral,
    PlusMinus,
    Product,
    Quotient,
    Relation,
    Sum,
)


class StatementCode(StrEnum):
    """An answer in words."""

    NO_REAL = "NO_REAL"
    NO_SOLUTION = "NO_SOLUTION"
    ALL_REAL = "ALL_REAL"
    DONT_KNOW = "DONT_KNOW"
    EMPTY = "EMPTY"
    PRIME = "PRIME"


@dataclass(frozen=True, slots=True)
class Number:
    """One number, or an entry of a list that still holds letters.

    Args:
        surd: the exact value; None outside square roots of rationals, then the tree decides.
        tree: what was typed.
        places: decimals typed; None unless the number was typed as a decimal.
    """

    surd: Surd | None
    tree: Node
    places: int | None = None

    @classmethod
    def exactly(cls, value: SurdLike) -> Number:
        """Return a number that was computed, not typed."""
        surd = Surd.of(value)
        return cls(surd, tree_of_surd(surd))


@dataclass(frozen=True, slots=True)
class Roots:
    """Several values, in the order typed, repetitions kept; equal as a set."""

    members: tuple[Number, ...]


@dataclass(frozen=True, slots=True)
class Expression:
    """An expression with letters."""

    tree: Node


@dataclass(frozen=True, slots=True)
class Point:
    """An ordered pair or triple."""

    coordinates: tuple[Number, ...]


@dataclass(frozen=True, slots=True)
class Points:
    """Several points; equal as a set."""

    members: tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class Interval:
    """An interval of real numbers; None as an end is infinite, and then the end is open."""

    low: Number | None
    high: Number | None
    left_open: bool
    right_open: bool


@dataclass(frozen=True, slots=True)
class Region:
    """A union of disjoint intervals in increasing order; no part is the empty set."""

    parts: tuple[Interval, ...]


@dataclass(frozen=True, slots=True)
class Equation:
    """A relation that stands as an answer."""

    relation: Relation


@dataclass(frozen=True, slots=True)
class Statement:
    """An answer in words."""

    code: StatementCode


Kind: TypeAlias = Literal["", "real", "rational", "irrational", "nonreal"]
"""What is said of solutions beside how many they are; "" says nothing."""


@dataclass(frozen=True, slots=True)
class Count:
    """How many solutions there are, with their kind: two irrational, one real and two not real.

    A number without a kind is a `Number`. Parts are sorted; None for a number says the kind alone.
    """

    parts: tuple[tuple[int | None, Kind], ...]

    @property
    def tree(self) -> Node:
        """The parts as a sum of multiples of their kinds, such as 2*irrational."""
        terms = tuple(
            Letter(f"all_{kind}")
            if number is None
            else Product((Numeral(Fraction(number)), Letter(kind or "any")))
            for number, kind in self.parts
        )
        return terms[0] if len(terms) == 1 else Sum(terms)


Value: TypeAlias = (
    Number | Roots | Expression | Point | Points | Region | Equation | Statement | Count
)


def typed_places(node: Node) -> int | None:
    """Return the decimals of a number typed as a decimal, or as a sum of such numbers.

    A percent with one decimal has three: 66.7% is .667.
    """
    match node:
        case Quotient(Numeral(_, int() as places), Numeral(below)) if below == 100:
            return places + 2
        case Numeral(_, places):
            return places
        case Negation(part) | PlusMinus(part):
            return typed_places(part)
        case Sum(terms):
            found = [typed_places(term) for term in terms]
            plain = all(
                isinstance(term.argument if isinstance(term, Negation) else term, Numeral)
                for term in terms
            )
            return max((p for p in found if p is not None), default=None) if plain else None
    return None


def complex_places(node: Node) -> tuple[int | None, int | None] | None:
    """Return the decimals typed in the real and in the imaginary part of `a + b i`.

    A part without a decimal point has None; None in place of the pair where no part has one, or
    where the number is not typed part by part.
    """
    terms = node.terms if isinstance(node, Sum) else (node,)
    places: list[int | None] = [None, None]
    for term in terms:
        inner = term.argument if isinstance(term, Negation) else term
        imaginary = _without_unit(inner)
        part = 0 if imaginary is None else 1
        found = typed_places(inner if imaginary is None else imaginary)
        if places[part] is not None:
            return None
        places[part] = found
    return None if places == [None, None] else (places[0], places[1])


def _without_unit(node: Node) -> Node | None:
    """Return b of `b i`, or None where no imaginary unit stands."""
    if not isinstance(node, Product) or Constant("i") not in node.factors:
        return None
    rest = [factor for factor in node.factors if factor != Constant("i")]
    return rest[0] if len(rest) == 1 else None


def number_of(tree: Node) -> Number:
    """Return a typed tree as a number; its surd is None outside exact arithmetic.

    Raises:
        ZeroDivisionError: something is divided by zero.
        BudgetExceeded: the value has too many digits.
    """
    return Number(surd_of(tree), tree, typed_places(tree))
