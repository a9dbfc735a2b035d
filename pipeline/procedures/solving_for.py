"""Formulas solved for one of their letters."""

from __future__ import annotations

from typing import NamedTuple, TypeAlias

from pipeline.errors import CannotBeWorked
from pipeline.exact.building import tree_of_polynomial
from pipeline.exact.polynomials import Polynomial, fraction_of, reduce_fraction
from pipeline.exact.trees import (
    Constant,
    Letter,
    Negation,
    Node,
    Quotient,
    Relation,
    Root,
    Sum,
    children,
    letters,
)
from pipeline.exact.values import Equation
from pipeline.procedures.places import Place
from pipeline.procedures.walk import Walk
from pipeline.reading.signs import mapped

__all__ = [
    "Formula",
    "Part",
    "carry_term",
    "divide_by",
    "gathered",
    "isolated",
    "join",
    "one_sided",
    "over",
    "root_of_square",
    "solve_formula",
    "squared_form",
    "start_with",
    "times",
    "tree_with_pi",
    "without_pi",
]

_PI = "pi"
"""Stands for the number pi, which the exact algebra treats as a letter."""

Part: TypeAlias = tuple[Polynomial, Polynomial]
"""A numerator and a denominator."""


class Formula(NamedTuple):
    """factor*letter + rest = other, none of them with the letter in it."""

    letter: str
    factor: Part
    rest: Part
    other: Part


def join(first: Part, second: Part, sign: int = 1) -> Part:
    """Add two parts, or subtract the second."""
    return reduce_fraction(first[0] * second[1] + second[0] * first[1] * sign, first[1] * second[1])


def times(first: Part, second: Part) -> Part:
    """Multiply two parts."""
    return reduce_fraction(first[0] * second[0], first[1] * second[1])


def over(first: Part, second: Part) -> Part:
    """Divide two parts."""
    if not second[0]:
        raise CannotBeWorked
    return reduce_fraction(first[0] * second[1], first[1] * second[0])


def start_with(start: Formula) -> Part | None:
    """Decide to carry the term without the letter across before dividing."""
    return None


def carry_term(other: Part, rest: Part) -> Part:
    """Carry a term to the other side."""
    return join(other, rest, -1)


def divide_by(other: Part, factor: Part) -> Part:
    """Divide by what the letter is multiplied by."""
    return over(other, factor)


def solve_formula(step: Walk, start: Formula) -> object:
    """Carry across what stands beside the letter, then divide by what stands before it."""
    found = step.do(start_with, Place.FORMULA, start)
    if found is None:
        found = isolated(step, start)
    tree = tree_with_pi(found)
    if letters(tree) & {start.letter}:
        raise CannotBeWorked
    step.may_end(tree)
    return Equation(Relation((Letter(start.letter), tree), ("=",)))


def isolated(step: Walk, start: Formula) -> Part:
    """Carry across what stands beside the letter, then divide by what stands before it."""
    other = start.other
    if start.rest[0]:
        other = step.do(carry_term, Place.FORMULA, other, start.rest)
    if start.factor != (Polynomial.constant(1), Polynomial.constant(1)):
        other = step.do(divide_by, Place.FORMULA, other, start.factor)
    return other


def tree_with_pi(part: Part) -> Node:
    """Return a part as a tree, pi as the number."""
    above, below = (_with_pi(tree_of_polynomial(one)) for one in part)
    return above if part[1] == Polynomial.constant(1) else Quotient(above, below)


def _with_pi(node: Node) -> Node:
    return Constant(_PI) if node == Letter(_PI) else mapped(node, _with_pi)


def without_pi(node: Node) -> Node:
    """Take pi as a letter, so that polynomials can hold it."""
    if node == Constant(_PI):
        return Letter(_PI)
    return mapped(node, without_pi) if children(node) else node


def root_of_square(other: Part) -> Node:
    """Undo a square by the positive root, since lengths and the like are positive."""
    return Root(tree_with_pi(other))


def solve_square_formula(step: Walk, start: Formula) -> object:
    """From factor*letter^2 + rest = other find the letter."""
    tree = step.do(root_of_square, Place.FORMULA, isolated(step, start))
    step.may_end(tree)
    return Equation(Relation((Letter(start.letter), tree), ("=",)))


def one_sided(left: Node, right: Node, letter: str) -> Formula | None:
    """See factor*letter + rest on the one side as it is written."""
    if letter in letters(right):
        return None
    whole, other = fraction_of(left), fraction_of(right)
    if whole is None or other is None or letter in whole[1].letters:
        return None
    parts = whole[0].collected(letter)
    if len(parts) != 2:
        return None
    rest, factor = (reduce_fraction(part, whole[1]) for part in parts)
    return Formula(letter, factor, rest, other)


def squared_form(left: Node, right: Node, letter: str) -> Formula | None:
    """See factor*letter^2 + rest on the one side."""
    if letter in letters(right):
        return None
    whole, other = fraction_of(left), fraction_of(right)
    if whole is None or other is None or letter in whole[1].letters:
        return None
    parts = whole[0].collected(letter)
    if len(parts) != 3 or parts[1]:
        return None
    rest, factor = (reduce_fraction(part, whole[1]) for part in (parts[0], parts[2]))
    return Formula(letter, factor, rest, other)


def gathered(left: Node, right: Node, letter: str) -> Formula:
    """Gather the terms with the letter on one side, the others on the other.

    Raises:
        CannotBeWorked: the letter does not occur to the first power only.
    """
    whole = fraction_of(Sum((left, Negation(right))))
    parts = whole[0].collected(letter) if whole is not None else []
    if len(parts) != 2:
        raise CannotBeWorked(f"{letter} occurs in a way that is not worked step by step")
    one = Polynomial.constant(1)
    return Formula(letter, (parts[1], one), (Polynomial({}), one), (-parts[0], one))
