"""Named functions in trees and values: logarithms, sines, exponentials; letters in exponents."""

from __future__ import annotations

from collections.abc import Iterable

from pipeline.exact.trees import Call, Node, Power, children, letters
from pipeline.exact.values import (
    Count,
    Equation,
    Expression,
    Number,
    Point,
    Points,
    Region,
    Roots,
    Statement,
    Value,
)

__all__ = ["has_calls", "has_letter_exponent"]

_NAMED = frozenset({"log", "ln", "sin", "cos", "tan", "exp"})


def has_calls(value: Value | Node) -> bool:
    """Whether a function with a name of its own stands in a value or tree."""
    waiting: list[Node] = list(_trees(value))
    while waiting:
        one = waiting.pop()
        if isinstance(one, Call) and one.name in _NAMED:
            return True
        if not isinstance(one, Call):
            waiting.extend(children(one))
    return False


def has_letter_exponent(value: Value | Node) -> bool:
    """Whether letters stand in an exponent of a value or tree."""
    waiting: list[Node] = list(_trees(value))
    while waiting:
        one = waiting.pop()
        if isinstance(one, Power) and letters(one.exponent):
            return True
        waiting.extend(children(one))
    return False


def _trees(value: Value | Node) -> Iterable[Node]:
    match value:
        case Number() | Expression():
            return (value.tree,)
        case Roots(members):
            return [member.tree for member in members]
        case Point(coordinates):
            return [part.tree for part in coordinates]
        case Equation(relation):
            return (relation,)
        case Points() | Region() | Statement() | Count():
            return ()
    return (value,)
