"""Euler's number: the letter e where logarithms stand beside it, or an exponent with a letter."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from pipeline.reading import marks
from pipeline.reading.numerals import Token

_OPENING: Final = frozenset({"(", "[", "{", marks.GROUP})
_CLOSING: Final = frozenset({")", "]", "}", marks.END_GROUP})


def means_euler(tokens: Sequence[Token]) -> bool:
    """Whether the e of a problem is the number: beside log or ln, or as the base of e^(2x)."""
    if any(one.kind == "function" and one.text in ("log", "ln", "exp") for one in tokens):
        return True
    places = [place for place, one in enumerate(tokens) if _is_e(one)]
    return bool(places) and all(_raised_to_letter(tokens[place + 1 :]) for place in places)


def _is_e(token: Token) -> bool:
    return token.kind == "letter" and token.text == "e"


def _raised_to_letter(rest: Sequence[Token]) -> bool:
    if len(rest) < 2 or rest[0].kind != "^":
        return False
    depth = 0
    for token in rest[1:]:
        depth += (token.kind in _OPENING) - (token.kind in _CLOSING)
        if token.kind == "letter" and token.text != "e":
            return True
        if depth <= 0 and token.kind not in ("-", "+"):
            return False
    return False


def with_euler(tokens: list[Token]) -> list[Token]:
    """Put the number e in place of the letter."""
    return [replace(one, kind="constant") if _is_e(one) else one for one in tokens]
