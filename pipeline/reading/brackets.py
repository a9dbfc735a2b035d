"""What a pair of brackets holds: a point, an interval, a list, a set, a condition on a letter.

One that was lost at the start or the end, and the one bar that separates, are put back before.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, TypeAlias

from pipeline.exact.regions import compare
from pipeline.exact.trees import Node, letters
from pipeline.exact.values import (
    Interval,
    Number,
    Value,
)
from pipeline.reading import marks
from pipeline.reading.items import split_inner
from pipeline.reading.records import AnswerKind, Unread
from pipeline.reading.signs import both_signs, exact_number, infinity_of
from pipeline.reading.splitting import levels
from pipeline.reading.tokens import Token

Found: TypeAlias = list[tuple[Value, str]]
"""Values with the convention behind each; the first is the usual reading."""
BACKWARDS = "interval-backwards"
"""An interval whose infinity is at the wrong end: turned around, or without its minus sign."""


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


def numbers_of(tree: Node) -> list[Number]:
    """Return a tree as one number, or two where it holds plus-minus signs.

    Raises:
        Unread: more signs than the budget allows, division by zero, too large.
    """
    if infinity_of(tree):
        raise Unread("infinity is no number")
    return [exact_number(choice) for choice in both_signs(tree)]


def _end_of(tree: Node) -> Number | None:
    """Return a tree as the end of an interval, None for an infinity.

    Raises:
        Unread: the end has letters or is not one number.
    """
    if infinity_of(tree):
        return None
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
    first, second = map(_end_of, trees)
    if infinity_of(trees[0]) == 1 or infinity_of(trees[1]) == -1:
        raise Unread("an interval runs from the smaller end to the larger")
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


_OPENING: Final = frozenset({"(", "[", "{"})
_CLOSING: Final = frozenset({")", "]", "}"})
_PARTNER: Final = {"(": ")", "[": "]", "{": "}"}
_LISTED: Final = frozenset({"point", "roots"})
"""Kinds of answers whose numbers may stand in brackets together, of any shape."""
_APART: Final = frozenset({",", ";"})
_ORDER: Final = frozenset({"<", ">", "<=", ">="})
_PLAIN: Final = frozenset({"number", "letter", "-", "/", "^"})
_STARTING: Final = frozenset({"=", "~", "<", ">", "<=", ">=", "!=", ",", ";", "or", "and", "\n"})
_SEPARATING: Final = frozenset({",", ";", "or", "and", "\n", "∪", "∩", "constant", "|"})


def with_lone_bar(tokens: list[Token]) -> list[Token]:
    """Read the one bar of `2 | 5` or `(2|-3)` as a separator."""
    bars = [place for place, token in enumerate(tokens) if token.kind == "|"]
    if len(bars) != 1 or any(token.kind in {"{", "∈"} for token in tokens):
        return tokens
    relation = any(token.kind in {"<", ">", "<=", ">=", "!="} for token in tokens)
    if relation or not 0 < bars[0] < len(tokens) - 1:
        return tokens
    return [*tokens[: bars[0]], Token(",", ","), *tokens[bars[0] + 1 :]]


def balanced(tokens: list[Token], kind: AnswerKind | None = None) -> list[Token]:
    """Add the one bracket that is missing where it can stand in one place only.

    `x-2)(x+3)` lost its first, `(x-2)(x+3` its last, `(2, 5` and `3)` the only partner.
    """
    pair = kind in _LISTED
    opened = sum(token.kind == "(" for token in tokens)
    closed = sum(token.kind == ")" for token in tokens)
    lettered = any(token.kind == "letter" for token in tokens)
    if closed == opened + 1 and opened and lettered and tokens[0].kind != "(":
        mended = [Token("(", "("), *tokens]
        try:
            levels(mended)
        except Unread:
            return tokens
        return mended
    if _is_left_open(tokens, pair):
        last = next(token.kind for token in reversed(tokens) if token.kind in _PARTNER)
        return [*tokens, Token(_PARTNER[last], _PARTNER[last])]
    if opened or closed != 1 or tokens[-1].kind != ")":
        return tokens
    label = 2 if [token.kind for token in tokens[:2]] == ["letter", "="] else 0
    if not _is_plain(tokens[label:-1], pair):
        return tokens
    return [*tokens[:label], Token("(", "("), *tokens[label:]]


def _is_plain(tokens: list[Token], pair: bool) -> bool:
    """Whether numbers, products or a comparison stand there: a formula may have been cut off."""
    kinds = {token.kind for token in tokens}
    return "number" in kinds and kinds <= _PLAIN | (_APART if pair else _ORDER)


def _is_left_open(tokens: list[Token], pair: bool) -> bool:
    """Whether the last bracket opened is the only one without an end, and holds one expression.

    Where another bracket was closed behind it, nobody can tell where its end was meant; `x = (3+`
    may have been cut off; an interval may have either end. That of a number or a list `(2, 5`, and
    that at infinity, is its own.
    """
    open_ = [place for place, token in enumerate(tokens) if token.kind in _OPENING]
    closed = [place for place, token in enumerate(tokens) if token.kind in _CLOSING]
    if len(open_) != len(closed) + 1:
        return False
    inside = tokens[open_[-1] + 1 :]
    if inside and inside[-1].kind == "constant" and inside[-1].text == "oo":
        return len(open_) == 1
    before = tokens[open_[-1] - 1].kind if open_[-1] else "="
    if before in _STARTING:
        return not closed and _is_plain(inside, pair)
    if not inside or tokens[open_[-1]].kind != "(" or (closed and closed[-1] > open_[-1]):
        return False
    separating = _SEPARATING - {","} if pair else _SEPARATING
    return all(token.kind not in separating for token in inside)


def with_exclusion_apart(tokens: Sequence[Token]) -> list[Token]:
    """Set `x + 3 (x ≠ 3)` apart as `x + 3, x ≠ 3`."""
    result = list(tokens)
    if not tokens or tokens[-1].kind != ")" or all(token.kind != "!=" for token in tokens):
        return result
    brackets = [place for place, token in enumerate(tokens[:-1]) if token.kind in {"(", ")"}]
    start = brackets[-1] if brackets else 0
    inside = tokens[start + 1 : -1]
    named = len(inside) > 2 and (inside[0].kind, inside[1].kind) == ("letter", "!=")
    if not start or tokens[start].kind != "(" or not named:
        return result
    return [*tokens[:start], Token(",", ","), *inside]
