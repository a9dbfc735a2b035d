"""Values built from sympy source, and the refusal of text that is none."""

from __future__ import annotations

from pipeline.exact.trees import Node, letters
from pipeline.exact.values import Expression, Number, Point, Points, Roots, Value, number_of
from pipeline.reading.signs import check_tree

__all__ = ["NotSource", "listed", "plain"]


class NotSource(Exception):
    """The text is no sympy source; the ordinary grammar reads it."""


def plain(tree: Node) -> Value:
    """Return a tree as a number or an expression."""
    check_tree(tree)
    return Expression(tree) if letters(tree) else number_of(tree)


def listed(members: list[Value]) -> Value:
    """Return the members of a list as roots or points.

    Raises:
        NotSource: a member is neither.
    """
    if members and all(isinstance(member, Point) for member in members):
        return Points(tuple(member for member in members if isinstance(member, Point)))
    numbers: list[Number] = []
    for member in members:
        if isinstance(member, Expression):
            numbers.append(Number(None, member.tree))
        elif isinstance(member, Number):
            numbers.append(member)
        else:
            raise NotSource
    return Roots(tuple(numbers))
