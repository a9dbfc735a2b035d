"""Named functions in trees and values: logarithms, sines, exponentials; letters in exponents."""

from __future__ import annotations

from collections.abc import Iterable

from pipeline.exact.trees import (
    KNOWN_FUNCTIONS,
    Call,
    Constant,
    Node,
    Power,
    Relation,
    children,
    letters,
    nodes,
)
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


def has_calls(value: Value | Node) -> bool:
    """Whether a function with a name of its own stands in a value or tree."""
    waiting: list[Node] = list(_trees(value))
    while waiting:
        one = waiting.pop()
        if isinstance(one, Call) and one.name in KNOWN_FUNCTIONS:
            return True
        if not isinstance(one, Call):
            waiting.extend(children(one))
    return False


def has_letter_exponent(value: Value | Node) -> bool:
    """Whether letters stand in an exponent of a value or tree."""
    trees = (one for tree in _trees(value) for one in nodes(tree))
    return any(isinstance(one, Power) and bool(letters(one.exponent)) for one in trees)


def lets_answers_call(asked: Node) -> bool:
    """Whether answers may hold logarithms and the number e.

    They may where the question has a function with a name or the number e in it, and where an
    equation has a letter in an exponent: `2^x = 32` is solved by log_2(32).
    """
    if has_calls(asked) or (isinstance(asked, Relation) and has_letter_exponent(asked)):
        return True
    return Constant("e") in nodes(asked)


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
