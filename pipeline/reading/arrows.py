"""Signs of order typed apart or the other way round, and pairs between them: `<2, 4>`."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from pipeline.reading.records import ReadingContext
from pipeline.reading.tokens import Token

__all__ = ["with_order_signs"]

_ORDER: Final = frozenset({"<", ">", "<=", ">="})
_TYPED: Final = frozenset({"<", ">", "=>"})
_RELATIONS: Final = _ORDER | {"=", "!=", "~"}


def with_order_signs(tokens: Sequence[Token], context: ReadingContext) -> Sequence[Token]:
    """Join `=` with the `<` or `>` beside it; take `=>` for ≥ where only that can be meant.

    That is so where a region is asked for and no other relation stands in the answer: elsewhere
    `=>` is an arrow.
    """
    kinds = {token.kind for token in tokens}
    if kinds.isdisjoint(_TYPED):
        return tokens
    if "," in kinds and (tokens[0].kind, tokens[-1].kind) == ("<", ">"):
        return [replace(tokens[0], kind="("), *tokens[1:-1], replace(tokens[-1], kind=")")]
    joined = _joined(tokens) if "=" in kinds else tokens
    asked = context.kind == "region" or (context.translated and context.kind == "equation")
    if not asked or "=>" not in kinds or tokens[0].kind == "=>":
        return joined
    if any(token.kind in _RELATIONS for token in joined):
        return joined
    return [replace(token, kind=">=") if token.kind == "=>" else token for token in joined]


def _joined(tokens: Sequence[Token]) -> list[Token]:
    result: list[Token] = []
    for token in tokens:
        last = result[-1].kind if result else ""
        if len(result) > 1 and {last, token.kind} in ({"=", "<"}, {"=", ">"}):
            sign = "<=" if "<" in (last, token.kind) else ">="
            result[-1] = replace(result[-1], kind=sign, text=sign)
        else:
            result.append(token)
    return result
