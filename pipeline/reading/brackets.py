"""What a pair of brackets holds: a point, an interval, a list, a set, a condition on a letter."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TypeAlias

from pipeline.exact.regions import compare
from pipeline.exact.trees import Constant, Negation, Node, letters
from pipeline.exact.values import (
    Interval,
    Number,
    Point,
    Points,
    Region,
    Roots,
    Statement,
    StatementCode,
    Value,
)
from pipeline.reading import marks
from pipeline.reading.budgets import Unread
from pipeline.reading.constants import with_imaginary_unit
from pipeline.reading.items import Notes, expression_of, split_inner
from pipeline.reading.signs import both_signs, exact_number
from pipeline.reading.splitting import RELATIONS, bracketed
from pipeline.reading.tokens import Token

End = Number | int
"""An end of an interval: a number, or -1 and 1 for the infinities."""
Found: TypeAlias = list[tuple[Value, str]]
"""Values with the convention behind each; the first is the usual reading."""
BACKWARDS = "interval-backwards"
"""An interval whose infinity is at the wrong end: turned around, or without its minus sign."""
Inside: TypeAlias = Callable[[Sequence[Token], Notes], Found]
"""Reads what brackets hold as an answer of its own; given as an argument, since it builds on us."""


def is_tuple(tokens: Sequence[Token]) -> bool:
    """Whether brackets hold several parts, or the parts of an interval that lost its comma."""
    inner = tokens[1:-1]
    if tokens[0].kind in {"{"}:
        return True
    if tokens[0].kind == "[" and tokens[-1].kind == "]" and not _joins(inner):
        return len(split_inner(inner)) > 1 or all(token.kind != "letter" for token in inner)
    if tokens[0].kind == marks.GROUP:
        return False
    if tokens[0].kind == "(" and any(token.kind == "=" for token in inner) and split_inner(inner):
        return len(split_inner(inner)) > 1
    return len(split_inner(inner)) > 1 or _lost_comma(inner) is not None


def _joins(inner: Sequence[Token]) -> bool:
    return any(token.kind == "constant" and token.text == "oo" for token in inner)


def _lost_comma(inner: Sequence[Token]) -> int | None:
    """Return where `-∞ -2` or `3 ∞` falls apart: only infinity may lose its comma."""
    for place in range(1, len(inner)):
        if (
            inner[place].gap
            and _joins(inner)
            and inner[place - 1].kind in {"number", "constant", ")"}
        ):
            return place
    return None


def parts_of(tokens: Sequence[Token]) -> list[Sequence[Token]]:
    """Return the parts inside brackets."""
    inner = tokens[1:-1]
    parts = split_inner(inner)
    place = _lost_comma(inner)
    if len(parts) == 1 and place is not None:
        return [inner[:place], inner[place:]]
    return parts


def bracket_values(tokens: Sequence[Token], notes: Notes, inside: Inside) -> Found:
    """Return the legitimate values of a bracketed tuple, the likeliest first.

    Args:
        tokens: the brackets and what is between them.
        notes: what the question tells, and remarks.
        inside: reads what is between the brackets as an answer of its own.

    Raises:
        Unread: the brackets hold something else.
    """
    opening, closing = tokens[0].kind, tokens[-1].kind
    if opening == "{":
        return [(_set_of(tokens[1:-1], notes, inside), "")]
    if any(token.kind in RELATIONS for token in tokens):
        return inside(tokens[1:-1], notes)
    parts = parts_of(tokens)
    if parts and all(bracketed(part) and is_tuple(part) for part in parts):
        return inside(tokens[1:-1], notes)
    trees = [with_imaginary_unit(expression_of(part, notes), notes) for part in parts]
    if opening == "[" and len(trees) == 1 and closing == "]":
        return [(Roots(tuple(numbers_of(trees[0]))), "")]
    if len(trees) == 2 and (_infinite(trees[0]) == 1 or _infinite(trees[1]) == -1):
        return _backwards(opening, trees, closing)
    if any(map(_infinite, trees)) or {opening, closing} != {*_pair_of(opening)}:
        return [(Region((interval_of(opening, trees, closing),)), "")]
    columns = [numbers_of(tree) for tree in trees]
    numbers = [number for column in columns for number in column]
    roots = Roots(tuple(numbers))
    if len(numbers) != len(trees):
        return _with_both_signs(opening, columns, roots, notes)
    return _ranked(opening, numbers, roots, notes)


def _with_both_signs(
    opening: str, columns: list[list[Number]], roots: Roots, notes: Notes
) -> Found:
    """`(±2, 0)` is two points, with all signs varied together, or else a list."""
    if opening != "(" or len(columns) < 2:
        return [(roots, "")]
    rows = [[column[sign % len(column)] for column in columns] for sign in (0, 1)]
    points = Points(tuple(Point(tuple(row)) for row in rows))
    values: Found = [(points, ""), (roots, "bracket-pair")]
    return values[::-1] if notes.context.kind == "roots" else values


def _pair_of(opening: str) -> tuple[str, str]:
    return ("(", ")") if opening == "(" else ("[", "]")


def _ranked(opening: str, numbers: list[Number], roots: Roots, notes: Notes) -> Found:
    point = Point(tuple(numbers))
    found: dict[str, Value] = {"point": point, "roots": roots}
    if len(numbers) == 2 and _rising(numbers):
        is_open = opening == "("
        found["region"] = Region((Interval(numbers[0], numbers[1], is_open, is_open),))
    order = ["point", "region", "roots"] if opening == "(" else ["region", "roots"]
    if notes.context.kind in found:
        order = [notes.context.kind, *(name for name in order if name != notes.context.kind)]
    values = [found[name] for name in order if name in found]
    return [(value, "bracket-pair" if place else "") for place, value in enumerate(values)]


def _rising(numbers: list[Number]) -> bool:
    try:
        return compare(numbers[0], numbers[1]) < 0
    except ValueError:
        return False


def numbers_of(tree: Node) -> list[Number]:
    """Return a tree as one number, or two where it holds plus-minus signs.

    Raises:
        Unread: more signs than the budget allows, division by zero, too large.
    """
    inner = tree.argument if isinstance(tree, Negation) else tree
    if inner == Constant("oo"):
        raise Unread("infinity is no number")
    return [exact_number(choice) for choice in both_signs(tree)]


def _backwards(opening: str, trees: list[Node], closing: str) -> Found:
    """Read `(∞, -3)`: from -3 to infinity, or to -3 from the other infinity."""
    around = {"(": ")", ")": "(", "[": "]", "]": "["}
    first, second = (
        Negation(tree) if _infinite(tree) == 1 else Constant("oo") if _infinite(tree) else tree
        for tree in trees
    )
    turned = interval_of(around[closing], trees[::-1], around[opening])
    signed = interval_of(opening, [first, second], closing)
    return [(Region((turned,)), BACKWARDS), (Region((signed,)), BACKWARDS)]


def _infinite(tree: Node) -> int:
    """Return -1 and 1 for the infinities, 0 for a number."""
    if tree == Constant("oo"):
        return 1
    return -1 if tree == Negation(Constant("oo")) else 0


def end_of(tree: Node) -> End:
    """Return a tree as the end of an interval.

    Raises:
        Unread: the end has letters or is not one number.
    """
    if _infinite(tree):
        return _infinite(tree)
    numbers = numbers_of(tree)
    if len(numbers) != 1 or letters(tree):
        raise Unread("an end of an interval is no number")
    return numbers[0]


def interval_of(opening: str, trees: list[Node], closing: str) -> Interval:
    """Return an interval; outward brackets are open ends, infinity is always open.

    Raises:
        Unread: not two ends, or they do not rise.
    """
    if len(trees) != 2:
        raise Unread("an interval has two ends")
    low, high = end_of(trees[0]), end_of(trees[1])
    if low == 1 or high == -1:
        raise Unread("an interval runs from the smaller end to the larger")
    first = None if isinstance(low, int) else low
    second = None if isinstance(high, int) else high
    left_open, right_open = opening != "[" or first is None, closing != "]" or second is None
    if first is not None and second is not None:
        order = _order(first, second)
        if order > 0 or (order == 0 and (left_open or right_open)):
            raise Unread("an interval runs from the smaller end to the larger")
    return Interval(first, second, left_open, right_open)


def _order(first: Number, second: Number) -> int:
    try:
        return compare(first, second)
    except ValueError as error:
        raise Unread("an end of an interval is not real") from error


def _set_of(inner: Sequence[Token], notes: Notes, inside: Inside) -> Value:
    """Read `{2, 5}`, `{}`, `{x | x > 3}`."""
    if not inner:
        return Statement(StatementCode.NO_SOLUTION)
    if any(token.kind == ":" for token in inner) and inner[0].kind == "number":
        raise Unread("a ratio inside the braces of a set")
    condition = _condition(inner)
    if condition is not None:
        return inside(condition, notes)[0][0]
    value = inside(inner, notes)[0][0]
    return Roots((value,)) if isinstance(value, Number) else value


def _condition(inner: Sequence[Token]) -> Sequence[Token] | None:
    """Return what follows `x |`, `x :` or `x ∈ ℝ |` inside braces."""
    if inner[0].kind != "letter":
        return None
    for place, token in enumerate(inner[1:6], start=1):
        if token.kind in {"|", ":"} or (token.text == "|" and place == 1):
            return inner[place + 1 :] or None
        if token.kind not in {"∈", "ℝ"} and token.text not in {"R", "real"}:
            return None
    return None
