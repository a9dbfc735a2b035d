"""One token, and numbers as typed: decimals, exponent notation, repeating decimals."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from pipeline.exact.trees import Numeral
from pipeline.reading import marks
from pipeline.reading.budgets import MAX_DIGITS, Unread


@dataclass(frozen=True, slots=True)
class Token:
    """One token.

    Args:
        kind: `number`, `letter`, `constant`, `function`, `unit`, or the sign itself.
        text: as typed, or the name that it stands for.
        value: of a number.
        places: decimals of a number; None for an integer.
        gap: whether a blank stands before it.
    """

    kind: str
    text: str
    value: Fraction = Fraction(0)
    places: int | None = None
    gap: bool = False


@lru_cache(maxsize=4096)
def number_token(text: str, gap: bool) -> Token:
    """Return the token of a number as typed.

    Raises:
        Unread: too many digits, or dots behind a whole number.
    """
    if len(text) > MAX_DIGITS:
        raise Unread("too large: a number of more than 1,000 digits")
    if text.endswith("..."):
        return _dotted(text.rstrip("."), gap)
    for opening, closing in ((marks.REPEATING, marks.END_REPEATING), ("(", ")")):
        if opening in text:
            start, cycle = text.rstrip(closing).split(opening)
            return Token("number", text, _periodic(start, cycle), None, gap)
    mantissa, _, exponent = text.lower().partition("e")
    whole, point, decimals = mantissa.partition(".")
    value = Fraction(int((whole or "0") + decimals), 10 ** len(decimals))
    places: int | None = len(decimals) if point and decimals else None
    if exponent:
        if abs(int(exponent)) > MAX_DIGITS:
            raise Unread("too large: a number of more than 1,000 digits")
        value *= Fraction(10) ** int(exponent)
        places = None if places is None or places < int(exponent) else places - int(exponent)
    return Token("number", text, value, places, gap)


def _periodic(start: str, cycle: str) -> Fraction:
    whole, _, decimals = start.partition(".")
    first = Fraction(int((whole or "0") + decimals), 10 ** len(decimals))
    return first + Fraction(int(cycle), (10 ** len(cycle) - 1) * 10 ** len(decimals))


def repeating_numeral(start: str, cycle: str) -> Numeral:
    """Return `0.1(6)` as the number whose last decimals repeat for ever."""
    return Numeral(_periodic(start, cycle))


def is_one_dotted(token: Token) -> bool:
    """Whether dots follow one decimal, `0.3...`, so that nothing shows whether it repeats."""
    return token.places == 1 and token.text.endswith("...")


def _dotted(text: str, gap: bool) -> Token:
    """Decimals that go on: repeated digits repeat for ever, others were only cut off."""
    whole, _, decimals = text.partition(".")
    for length in range(1, len(decimals) // 2 + 1):
        cycle = decimals[-length:]
        if decimals[-2 * length : -length] == cycle and (
            length > 1 or decimals.endswith(cycle * 2)
        ):
            start = decimals
            while start.endswith(cycle):
                start = start[:-length]
            return Token("number", text, _periodic(f"{whole}.{start}", cycle), None, gap)
    if not decimals:
        raise Unread("three dots after a whole number")
    plain = number_token(text, gap)
    return Token("number", text + "...", plain.value, plain.places, gap)
