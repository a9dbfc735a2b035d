"""Signs of order typed apart or the other way round, and pairs between them: `<2, 4>`."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from pipeline.reading.records import ReadingContext
from pipeline.reading.splitting import RELATIONS
from pipeline.reading.tokens import Token

_TYPED: Final = frozenset({"<", ">", "=>"})


def with_order_signs(tokens: Sequence[Token], context: ReadingContext) -> Sequence[Token]:
    """Join `=` with the `<` or `>` beside it; take `=>` for ≥ where only that can be meant.

    That is so where a region is asked for and no other relation stands in the answer: elsewhere
    `=>` is an arrow. Behind a letter alone, as in `x <= -2 or x => 3`, it is ≥ there in any case.
    """
    kinds = {token.kind for token in tokens}
    if kinds.isdisjoint(_TYPED):
        return tokens
    if "," in kinds and (tokens[0].kind, tokens[-1].kind) == ("<", ">"):
        return [replace(tokens[0], kind="("), *tokens[1:-1], replace(tokens[-1], kind=")")]
    joined = _joined(tokens) if "=" in kinds else tokens
    asked = context.kind == "region" or (context.translated and context.kind == "equation")
    if not asked or "=>" not in kinds:
        return joined
    alone = all(token.kind not in RELATIONS for token in joined)
    return [
        replace(token, kind=">=")
        if token.kind == "=>" and (alone or is_label(joined, place) or _opens(joined, place))
        else token
        for place, token in enumerate(joined)
    ]


def _opens(tokens: Sequence[Token], place: int) -> bool:
    """Whether a number follows the arrow and nothing, or a separator, stands before it."""
    starts = not place or tokens[place - 1].kind in {",", ";", "\n", "or", "and"}
    return (
        starts
        and tokens[place + 1 : place + 2] != []
        and (tokens[place + 1].kind in {"number", "-", "constant"})
    )


def is_label(tokens: Sequence[Token], place: int) -> bool:
    """Whether a letter alone stands before an arrow."""
    if not place or tokens[place - 1].kind != "letter":
        return False
    return place == 1 or tokens[place - 2].kind in {",", ";", "\n", "or", "and"}


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
