"""A bracket that was lost at the start or the end, and the one bar that separates."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from pipeline.reading.budgets import Unread
from pipeline.reading.records import AnswerKind
from pipeline.reading.splitting import levels
from pipeline.reading.tokens import Token

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
