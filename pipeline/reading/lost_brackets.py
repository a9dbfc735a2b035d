"""A bracket that a product lost at its start, and the one bar that separates."""

from __future__ import annotations

from collections.abc import Sequence

from pipeline.reading.budgets import Unread
from pipeline.reading.pieces import levels
from pipeline.reading.tokens import Token

__all__ = ["balanced", "with_exclusion_apart", "with_lone_bar"]


def with_lone_bar(tokens: list[Token]) -> list[Token]:
    """Read the one bar of `2 | 5` or `(2|-3)` as a separator."""
    bars = [place for place, token in enumerate(tokens) if token.kind == "|"]
    if len(bars) != 1 or any(token.kind in {"{", "∈"} for token in tokens):
        return tokens
    relation = any(token.kind in {"<", ">", "<=", ">=", "!="} for token in tokens)
    if relation or not 0 < bars[0] < len(tokens) - 1:
        return tokens
    return [*tokens[: bars[0]], Token(",", ","), *tokens[bars[0] + 1 :]]


def balanced(tokens: list[Token]) -> list[Token]:
    """Open the one bracket that a product `x-2)(x+3)` lost at its start."""
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
    return tokens


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
