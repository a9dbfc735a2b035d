"""Fractions of polynomials, in which a letter may stand for pi, a power or a root."""

from __future__ import annotations

from fractions import Fraction
from typing import Final, TypeAlias

from pipeline.errors import CannotBeWorked
from pipeline.exact.polynomials import Polynomial, reduce_fraction, tree_of_polynomial
from pipeline.exact.printing import tree_source
from pipeline.exact.trees import Letter, Node, Numeral, Quotient, Root, changed

Part: TypeAlias = tuple[Polynomial, Polynomial]
"""A numerator and a denominator."""
_ONE: Final = Polynomial.constant(1)


class StandIn(str):
    """The name of a letter that stands for a number such as pi, or for a power or root."""

    stands_for: Node


def stand_in(node: Node) -> Letter:
    """Return a letter that stands for a tree until a part becomes one again."""
    name = StandIn(f"[{tree_source(node)}]")  # never the name of a letter
    name.stands_for = node
    return Letter(name)


def tree_of_part(part: Part) -> Node:
    """Return a part as a tree."""
    above, below = (_restored(tree_of_polynomial(one)) for one in part)
    return above if part[1] == _ONE else Quotient(above, below)


def _restored(node: Node) -> Node:
    return changed(node, _stood_for)


def _stood_for(node: Node) -> Node | None:
    held = isinstance(node, Letter) and isinstance(node.name, StandIn)
    return node.name.stands_for if held else None  # type: ignore[union-attr]  # a letter


def root_of_part(part: Part, index: int) -> Part:
    """Take a root of a part, that of its numerator over that of its denominator."""
    above, below = (
        one
        if one == _ONE
        else Polynomial.letter(
            stand_in(Root(_restored(tree_of_polynomial(one)), Numeral(Fraction(index)))).name
        )
        for one in part
    )
    return above, below


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
