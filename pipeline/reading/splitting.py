"""A list of tokens cut into items: separators, brackets, relation signs at the top level."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from pipeline.reading import marks
from pipeline.reading.records import MAX_DEPTH, MAX_VALUES, Unread
from pipeline.reading.tokens import Token

RELATIONS = frozenset({"=", "<", ">", "<=", ">=", "!=", "~"})
_OPENING = {"(": ")", "[": "]", "{": "}", marks.GROUP: marks.END_GROUP,
            marks.FRACTION: marks.END_FRACTION, marks.INDEX: marks.END_INDEX}  # fmt: skip
_CLOSING = frozenset(_OPENING.values())
_HALF_OPEN = {"(": {")", "]"}, "[": {"]", ")"}}


@dataclass(frozen=True, slots=True)
class Item:
    """One item of a list and the separator before it; the first has none."""

    tokens: tuple[Token, ...]
    separator: str = ""


def levels(tokens: Sequence[Token]) -> list[int]:
    """Return the bracket depth at each token, brackets counted inside.

    Raises:
        Unread: brackets do not match; an interval may mix round and square ones.
    """
    depths: list[int] = []
    stack: list[str] = []
    for token in tokens:
        if token.kind in _OPENING:
            stack.append(token.kind)
            if len(stack) > MAX_DEPTH:
                raise Unread("too large: more than 100 levels")
            depths.append(len(stack))
        elif token.kind in _CLOSING:
            closing = _HALF_OPEN.get(stack[-1], {_OPENING[stack[-1]]}) if stack else set()
            if token.kind not in closing:
                raise Unread(f"a bracket {token.kind} is closed that was never opened")
            depths.append(len(stack))
            stack.pop()
        else:
            depths.append(len(stack))
    if stack:
        raise Unread("a bracket is never closed")
    return depths


def bracketed(tokens: Sequence[Token]) -> bool:
    """Whether one pair of brackets holds everything."""
    if len(tokens) < 2 or tokens[0].kind not in {"(", "[", "{", marks.GROUP}:
        return False
    depths = levels(tokens)
    again = (
        token.kind in _OPENING and depth == 1
        for token, depth in zip(tokens[1:], depths[1:], strict=True)
    )
    return tokens[-1].kind in _CLOSING and all(depth > 0 for depth in depths) and not any(again)


def split_at(tokens: Sequence[Token], separators: frozenset[str]) -> list[Item]:
    """Cut at separators outside brackets; empty items from doubled separators are dropped.

    Raises:
        Unread: brackets do not match, or more than `MAX_VALUES` items.
    """
    depths = levels(tokens)
    items: list[Item] = []
    current: list[Token] = []
    between = ""
    for token, depth in zip(tokens, depths, strict=True):
        if depth == 0 and token.kind in separators:
            if current:
                items.append(Item(tuple(current), between))
                current, between = [], token.kind
            elif items and token.kind in {"or", "and", "∪", "∩"}:
                between = token.kind
            continue
        current.append(token)
    if current:
        items.append(Item(tuple(current), between))
    if len(items) > MAX_VALUES:
        raise Unread("too large: more than 20 values")
    return items


_SEPARATORS = frozenset({",", ";", "\n", "or", "and", "&", "∪", "∩"})


def items_of(tokens: Sequence[Token]) -> list[Item]:
    """Cut an answer into items, also at a bar or a blank between two complete equations."""
    items = split_at(tokens, _SEPARATORS)
    pieces = [piece for item in items for piece in _apart(item)]
    return [replace(piece, tokens=tuple(unwrapped(piece.tokens))) for piece in pieces]


def unwrapped(tokens: Sequence[Token]) -> Sequence[Token]:
    """Drop brackets around a whole relation, `(x = 3)`, and groups that hold everything.

    Brackets around several relations stay: they can be a point.
    """
    while bracketed(tokens):
        inner = tokens[1:-1]
        if tokens[0].kind != marks.GROUP and not _is_relation(tokens):
            break
        tokens = inner
    return tokens


def _is_relation(tokens: Sequence[Token]) -> bool:
    if tokens[0].kind not in {"(", "["}:
        return False
    kinds = {token.kind for token, level in zip(tokens, levels(tokens), strict=True) if level == 1}
    return bool(kinds & RELATIONS) and not kinds & {",", ";"}


def _apart(item: Item) -> list[Item]:
    tokens = item.tokens
    starts = [place for place in range(1, len(tokens)) if _new_start(tokens, place)]
    if not starts:
        return [item]
    pieces: list[Item] = []
    begin = 0
    for start in [*starts, len(tokens)]:
        inner = tokens[begin:start]
        if inner and inner[0].kind in {"|", "/"}:
            inner = inner[1:]
        pieces.append(Item(inner, item.separator if not pieces else "blank"))
        begin = start
    return pieces


def _new_start(tokens: Sequence[Token], place: int) -> bool:
    """Whether a second equation `x =`, or a second pair in brackets, starts here."""
    if any(token.kind in _OPENING for token in tokens[:1]) and tokens[place].kind in {"(", "["}:
        return _pairs_side_by_side(tokens, place)
    if tokens[place].kind in {"|", "/"}:
        return _starts_label(tokens, place + 1) and _has_relation(tokens[:place])
    if tokens[place - 1].kind in {"|", "/"} or not _starts_label(tokens, place):
        return False
    before = tokens[place - 1].kind
    complete = before in {"number", "letter", "constant", "unit"} or before in _CLOSING
    if not complete or not _has_relation(tokens[:place]) or levels(tokens)[place]:
        return False
    return tokens[place].gap or _same_letter(tokens, place)


def _pairs_side_by_side(tokens: Sequence[Token], place: int) -> bool:
    if tokens[place - 1].kind not in {")", "]"} or levels(tokens)[place] > 1:
        return False
    return any(token.kind == "," for token in tokens[:place]) and any(
        token.kind == "," for token in tokens[place:]
    )


def _starts_label(tokens: Sequence[Token], place: int) -> bool:
    after = tokens[place + 1 : place + 2]
    if place >= len(tokens) or tokens[place].kind != "letter" or not after:
        return False
    return after[0].kind in RELATIONS or (
        after[0].kind == "_" and any(token.kind == "=" for token in tokens[place : place + 4])
    )


def _same_letter(tokens: Sequence[Token], place: int) -> bool:
    """`x=2x=5`: the label is repeated without any blank."""
    return tokens[0].kind == "letter" and tokens[0].text == tokens[place].text


def _has_relation(tokens: Sequence[Token]) -> bool:
    return any(token.kind in RELATIONS for token in tokens)
