"""Values that an answer can have, their canonical keys, and their text."""

from __future__ import annotations

from pipeline.exact.keys import value_key
from pipeline.exact.printing import tree_source, tree_words
from pipeline.exact.shapes import (
    Count,
    Equation,
    Expression,
    Interval,
    Kind,
    Number,
    Point,
    Points,
    Region,
    Roots,
    Statement,
    StatementCode,
    Value,
    number_of,
    typed_places,
)

__all__ = [
    "Count",
    "Equation",
    "Expression",
    "Interval",
    "Kind",
    "Number",
    "Point",
    "Points",
    "Region",
    "Roots",
    "Statement",
    "StatementCode",
    "Value",
    "number_of",
    "numbers_of",
    "typed_places",
    "value_key",
    "value_source",
    "value_words",
]

_STATEMENT_WORDS = {
    StatementCode.NO_REAL: "no real solution",
    StatementCode.NO_SOLUTION: "no solution",
    StatementCode.ALL_REAL: "all real numbers",
    StatementCode.DONT_KNOW: "does not know",
    StatementCode.EMPTY: "nothing typed",
    StatementCode.PRIME: "cannot be factored",
}


def numbers_of(value: Value) -> tuple[Number, ...]:
    """Return the numbers that a value is made of; of a region its finite ends."""
    match value:
        case Number():
            return (value,)
        case Roots(members) | Point(members):
            return members
        case Points(members):
            return tuple(number for point in members for number in point.coordinates)
        case Region(parts):
            return tuple(end for part in parts for end in (part.low, part.high) if end is not None)
        case _:
            return ()


def value_source(value: Value) -> str:
    """Return sympy source, which the reader reads back to the same value."""
    match value:
        case Number():
            return _number_source(value)
        case Roots(members):
            return "[" + ", ".join(_number_source(member) for member in members) + "]"
        case Expression() | Count():
            return tree_source(value.tree)
        case Point(coordinates):
            return "(" + ", ".join(_number_source(part) for part in coordinates) + ")"
        case Points(members):
            return "[" + ", ".join(value_source(member) for member in members) + "]"
        case Region(parts):
            return _region_source(parts)
        case Equation(relation):
            return tree_source(relation)
        case Statement(code):
            return code.value


def _number_source(number: Number) -> str:
    return number.surd.source() if number.surd is not None else tree_source(number.tree)


def _region_source(parts: tuple[Interval, ...]) -> str:
    if not parts:
        return StatementCode.NO_SOLUTION.value
    pieces = [_interval_source(part) for part in parts]
    return pieces[0] if len(pieces) == 1 else f"Union({', '.join(pieces)})"


def _interval_source(part: Interval) -> str:
    low = "-oo" if part.low is None else _number_source(part.low)
    high = "oo" if part.high is None else _number_source(part.high)
    left, right = part.left_open or part.low is None, part.right_open or part.high is None
    ends = f", {left}, {right}" if left or right else ""
    return f"Interval({low}, {high}{ends})"


def value_words(value: Value) -> str:
    """Return a value in words and plain notation, as it was typed but tidied."""
    match value:
        case Number(_, tree, _) | Expression(tree):
            return tree_words(tree)
        case Roots(members):
            return " or ".join(tree_words(member.tree) for member in members) or "no value"
        case Count(parts):
            return " and ".join(_part_words(number, kind) for number, kind in parts)
        case Point(coordinates):
            return "(" + ", ".join(tree_words(part.tree) for part in coordinates) + ")"
        case Points(members):
            return " and ".join(value_words(member) for member in members)
        case Region(parts):
            return " ∪ ".join(_interval_words(part) for part in parts) or "the empty set"
        case Equation(relation):
            return tree_words(relation)
        case Statement(code):
            return _STATEMENT_WORDS[code]


def _part_words(number: int | None, kind: Kind) -> str:
    named = "not real" if kind == "nonreal" else kind
    return " ".join(filter(None, ("" if number is None else str(number), named)))


def _interval_words(part: Interval) -> str:
    low = "−∞" if part.low is None else tree_words(part.low.tree)
    high = "∞" if part.high is None else tree_words(part.high.tree)
    if part.low is not None and part.low == part.high:
        return "{" + low + "}"
    left = "(" if part.left_open or part.low is None else "["
    right = ")" if part.right_open or part.high is None else "]"
    return f"{left}{low}, {high}{right}"
