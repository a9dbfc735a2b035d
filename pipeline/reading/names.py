"""Formulas and operations of functions that only name a value: `b^2 - 4ac = 88`, `(f + g)(x) =`."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from pipeline.exact.evaluate import surd_of
from pipeline.exact.trees import Node, Numeral, Relation, letters
from pipeline.reading.records import ReadingContext
from pipeline.reading.splitting import bracketed
from pipeline.reading.tokens import Token

_FUNCTIONS: Final = frozenset("fgh")
_EQUAL: Final = frozenset({"=", "~"})
_MOST_TOKENS: Final = 40
"""Tokens of the longest name of an operation."""
_INNER: Final = r"(?:[A-Za-z]|-?\d+(?:/\d+)?)"
_CALL: Final = rf"[fgh]\((?:{_INNER}|[fgh]\({_INNER}\))\)"
_JOINED: Final = r"[fgh](?:[-+*/∘°o]|)[fgh]"
_OPERATION: Final = re.compile(
    rf"(?:{_CALL}(?:[-+*/]?{_CALL})+|[fgh]\([fgh]\({_INNER}\)\)"
    rf"|\({_JOINED}\)\({_INNER}\)|{_JOINED}(?:\({_INNER}\))?)"
)


def sides_behind_formula(
    relation: Relation, context: ReadingContext
) -> tuple[tuple[Node, ...], tuple[str, ...]] | None:
    """Return the numbers that a relation gives, with the signs between them, or None.

    Where a number is asked for, a formula in letters that the question does not use names it, and
    a true comparison with zero behind it tells its sign: `b^2 - 4ac = 25 - 16 = 9 > 0`.
    """
    if context.kind != "number":
        return None
    sides, signs = relation.sides, relation.signs
    if signs[-1] not in _EQUAL:
        if not _tells_sign(sides[-2], signs[-1], sides[-1]):
            return None
        sides, signs = sides[:-1], signs[:-1]
    if not set(signs) <= _EQUAL:
        return None
    if _is_formula(sides[-1], context) and not letters(sides[0]):
        sides, signs = sides[::-1], signs[::-1]
    named = _is_formula(sides[0], context)
    if named:
        sides, signs = sides[1:], signs[1:]
    changed = named or len(sides) + 1 == len(relation.sides)
    return (sides, signs) if changed and sides and not any(map(letters, sides)) else None


def _is_formula(side: Node, context: ReadingContext) -> bool:
    return not letters(side) <= context.letters


def _tells_sign(side: Node, sign: str, zero: Node) -> bool:
    """Whether a number is compared with zero, and truly."""
    if letters(side) or not isinstance(zero, Numeral) or zero.value:
        return False
    number = surd_of(side)
    if number is None or not number.is_real:
        return False
    order = number.real_sign()
    return bool((order < 0 and "<" in sign) or (order > 0 and ">" in sign))


def without_operation_name(tokens: Sequence[Token], context: ReadingContext) -> Sequence[Token]:
    """Drop what only names a value: `f(g(x)) =`, `(f + g)(x) =`, `f(2x - 1) =`, `log =`."""
    if not context.functions:
        return tokens
    for place, token in enumerate(tokens[:_MOST_TOKENS]):
        if token.kind == "=" and _names_operation(tokens[:place], context):
            return without_operation_name(tokens[place + 1 :], context)
        if token.kind == "=":
            break
    return tokens


def _names_operation(tokens: Sequence[Token], context: ReadingContext) -> bool:
    kinds = [token.kind for token in tokens]
    if kinds == ["function"]:
        return tokens[0].text in ("log", "ln")
    if {token.text for token in tokens} & context.letters & _FUNCTIONS:
        return False
    called = len(kinds) > 4 and tokens[0].text in _FUNCTIONS and bracketed(tokens[1:])
    return called or _OPERATION.fullmatch("".join(token.text for token in tokens)) is not None
