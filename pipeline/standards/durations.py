"""Durations in seconds: a plain number, or ISO 8601, with a point or a comma.

Source: QTI 2.1 Results Reporting (duration is a float number of seconds, samples hold ISO 8601
with both signs); xAPI 1.0.3 part 2, 4.6; ISO 8601-1:2019, 5.5.2.
"""

from __future__ import annotations

import re

MAX_SECONDS = 366 * 86_400.0
"""A longer stay at one question is a clock that was left running."""
_NUMBER = r"(\d{1,12}(?:[.,]\d{1,12})?)"
_PLAIN = re.compile(_NUMBER)
_ISO = re.compile(
    rf"P(?:{_NUMBER}W)?(?:{_NUMBER}D)?(?:T(?:{_NUMBER}H)?(?:{_NUMBER}M)?(?:{_NUMBER}S)?)?", re.I
)
_UNITS = (7 * 86_400, 86_400, 3_600, 60, 1)


def seconds_of(text: str) -> float | None:
    """A duration in seconds; None where the text is none, or longer than a year.

    >>> seconds_of("PT1M32,5S")
    92.5
    """
    bare = text.strip()
    if plain := _PLAIN.fullmatch(bare):
        found = _value(plain[1])
    elif (iso := _ISO.fullmatch(bare)) and any(iso.groups()):
        found = sum(
            unit * _value(part) for unit, part in zip(_UNITS, iso.groups(), strict=True) if part
        )
    else:
        return None
    return found if found <= MAX_SECONDS else None


def _value(number: str) -> float:
    return float(number.replace(",", "."))
