"""A bracket that a product lost at its start, and the one bar that separates."""

from __future__ import annotations

from pipeline.reading.budgets import Unread
from pipeline.reading.pieces import levels
from pipeline.reading.tokens import Token

__all__ = ["balanced", "with_lone_bar"]


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
