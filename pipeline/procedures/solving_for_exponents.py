"""Formulas solved for a letter in an exponent or under a logarithm."""

from __future__ import annotations

from fractions import Fraction
from typing import Final, NamedTuple

from pipeline.exact.polynomials import Polynomial
from pipeline.exact.trees import (
    Call,
    Constant,
    Letter,
    Negation,
    Node,
    Numeral,
    Power,
    Quotient,
    Relation,
    Sum,
    children,
    letters,
)
from pipeline.exact.values import Equation
from pipeline.procedures.places import Place
from pipeline.procedures.solving_for import (
    Formula,
    Part,
    isolated,
    one_sided,
    tree_with_pi,
)
from pipeline.procedures.walk import Plan, Walk
from pipeline.reading.signs import mapped

__all__ = ["as_power", "by_logarithm", "wrapped_plans"]

_EULER: Final = Constant("e")
_STAND_IN: Final = "inner"
"""Stands for the power or logarithm; no letter that is read has such a name."""
_ONE: Final = (Polynomial.constant(1), Polynomial.constant(1))


class Wrapped(NamedTuple):
    """A formula for a power or a logarithm, and what its letter is in there."""

    outside: Formula
    base: Node
    is_logarithm: bool
    inside: Formula


def as_power(base: Node, other: Part) -> Node:
    """From log(y) = other return y, the base to the other side."""
    return Power(base, tree_with_pi(other))


def by_logarithm(base: Node, other: Part) -> Node:
    """From base^y = other return y, the logarithm of the other side."""
    tree = tree_with_pi(other)
    return Call("ln", (tree,)) if base == _EULER else Call("log", (tree,), base)


def solve_wrapped(step: Walk, start: Wrapped) -> object:
    """Isolate the power or logarithm, undo it, then isolate the letter."""
    other = isolated(step, start.outside)
    undone = as_power if start.is_logarithm else by_logarithm
    tree = step.do(undone, Place.FORMULA, start.base, other)
    if start.inside.rest[0]:
        tree = Sum((tree, Negation(tree_with_pi(start.inside.rest))))
    if start.inside.factor != _ONE:
        tree = Quotient(tree, tree_with_pi(start.inside.factor))
    step.may_end(tree)
    return Equation(Relation((Letter(start.inside.letter), tree), ("=",)))


def wrapped_plans(left: Node, right: Node, letter: str) -> list[Plan]:
    """Read a formula whose letter stands in one exponent or under one logarithm; else nothing."""
    found = [one for one in _wrappings(left) if letter in letters(one)]
    if len(found) != 1 or letter in letters(right):
        return []
    (wrapping,) = found
    is_logarithm = isinstance(wrapping, Call)
    base, held = _parts(wrapping)
    outside = one_sided(_replaced(left, wrapping, Letter(_STAND_IN)), right, _STAND_IN)
    inside = one_sided(held, Numeral(Fraction(0)), letter)
    if outside is None or inside is None or letter in letters(base) or _has_letter(outside, letter):
        return []
    return [Plan("wrapped formula", solve_wrapped, Wrapped(outside, base, is_logarithm, inside))]


def _wrappings(node: Node) -> list[Power | Call]:
    """Outermost logarithms and powers with a letter in the exponent."""
    if isinstance(node, Call) and node.name in ("ln", "log"):
        return [node]
    if isinstance(node, Power) and letters(node.exponent):
        return [node]
    return [found for part in children(node) for found in _wrappings(part)]


def _parts(wrapping: Power | Call) -> tuple[Node, Node]:
    """The base, and the argument or exponent."""
    if isinstance(wrapping, Power):
        return wrapping.base, wrapping.exponent
    ten = Numeral(Fraction(10)) if wrapping.name == "log" else _EULER
    return wrapping.base or ten, wrapping.arguments[0]


def _replaced(node: Node, old: Node, new: Node) -> Node:
    if node == old:
        return new
    return mapped(node, lambda part: _replaced(part, old, new)) if children(node) else node


def _has_letter(formula: Formula, letter: str) -> bool:
    return any(
        letter in one.letters
        for part in (formula.factor, formula.rest, formula.other)
        for one in part
    )
