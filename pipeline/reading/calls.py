"""Named functions in trees and values: logarithms, sines, exponentials."""

from __future__ import annotations

from pipeline.exact.trees import Call, Node, children
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

__all__ = ["has_calls"]

_NAMED = frozenset({"log", "ln", "sin", "cos", "tan", "exp"})


def has_calls(value: Value | Node) -> bool:
    """Whether a function with a name of its own stands in a value or tree."""
    match value:
        case Number() | Expression():
            return has_calls(value.tree)
        case Roots(members):
            return any(map(has_calls, members))
        case Point(coordinates):
            return any(map(has_calls, coordinates))
        case Equation(relation):
            return has_calls(relation)
        case Call(name):
            return name in _NAMED
        case Points() | Region() | Statement() | Count():
            return False
    return any(map(has_calls, children(value)))
