"""Values said twice: a rounding behind ≈ or in brackets, a decimal beside the exact value."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction

from pipeline.exact.values import Number, Roots, Value
from pipeline.reading.budgets import Unread
from pipeline.reading.splitting import levels
from pipeline.reading.tokens import Token

_ECHO_SIGNS = frozenset({"~", "="})
_JOINING = frozenset({"or", ",", "="})

Values = Callable[[Sequence[Token]], Value]


def said_once(numbers: Sequence[Number]) -> list[Number]:
    """Drop each decimal of two places or more that only rounds an exact member of the list."""
    if not any((number.places or 0) > 1 for number in numbers):
        return list(numbers)
    exact = [number for number in numbers if number.places is None]
    return [number for number in numbers if not _rounds_any(number, exact)]


def _rounds_any(number: Number, exact: Sequence[Number]) -> bool:
    return (number.places or 0) > 1 and any(_rounds(number, other) for other in exact)


def _rounds(number: Number, other: Number) -> bool:
    """Whether a decimal rounds, or cuts off, a number that is not typed as the same decimal."""
    if number.surd is None or other.surd is None or number.places is None:
        return False
    if not other.surd.is_real or number.surd == other.surd:
        return False
    gap = number.surd - other.surd
    gap = -gap if gap.real_sign() < 0 else gap
    return gap < Fraction(1, 10**number.places)


def without_echo(tokens: Sequence[Token], values: Values) -> Sequence[Token] | None:
    """Return an answer without the decimals that repeat it, or None when nothing repeats it.

    `2 ± √10 ≈ 5.16, -1.16` and `3/2 (1.5)` say their values twice.

    Args:
        tokens: the answer.
        values: reads tokens as a value, as the answer itself is read.
    """
    try:
        return _without_roundings(tokens, values) or _without_brackets(tokens, values)
    except Unread:
        return None


def _without_roundings(tokens: Sequence[Token], values: Values) -> Sequence[Token] | None:
    """What follows the only ≈ is a list of as many values as stand before it."""
    places = [place for place, token in enumerate(tokens) if token.kind == "~"]
    if len(places) != 1 or not 1 < places[0] < len(tokens) - 1 or levels(tokens)[places[0]]:
        return None
    before, after = tokens[: places[0]], tokens[places[0] + 1 :]
    exact, rounded = _numbers(values(before)), _numbers(values(after))
    return before if 1 < len(exact) == len(rounded) else None


def _without_brackets(tokens: Sequence[Token], values: Values) -> Sequence[Token] | None:
    """Brackets at the end that hold nothing but the decimals of what stands before them."""
    if tokens[-1].kind != ")" or not any(token.places for token in tokens):
        return None
    start = _last_opening(tokens)
    if not start or not tokens[start].gap:
        return None
    before, inside = tokens[:start], tokens[start + 1 : -1]
    while before and before[-1].kind in _JOINING:
        before = before[:-1]
    while inside and inside[0].kind in _ECHO_SIGNS:
        inside = inside[1:]
    if not before or not any(token.places for token in inside):
        return None
    first, second = _numbers(values(before)), _numbers(values(inside))
    echoed = all(_says_again(number, first) for number in second)
    return before if second and echoed else None


def _last_opening(tokens: Sequence[Token]) -> int | None:
    """Where the brackets open that close with the last token."""
    pairs = reversed(list(enumerate(zip(tokens, levels(tokens), strict=True))))
    return next((p for p, (token, level) in pairs if level == 1 and token.kind == "("), None)


def _says_again(number: Number, others: Sequence[Number]) -> bool:
    same = any(number.surd is not None and number.surd == other.surd for other in others)
    return same or _rounds_any(number, others)


def _numbers(value: Value) -> tuple[Number, ...]:
    if isinstance(value, Number):
        return (value,)
    return value.members if isinstance(value, Roots) else ()
