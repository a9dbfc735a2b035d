"""Rounded decimals of predicted numbers that are no surds, such as ln(7) or e^2."""

from __future__ import annotations

import re
from collections.abc import Hashable, Iterable, Iterator
from fractions import Fraction
from typing import Final

from pipeline.exact.numbers import Surd
from pipeline.exact.radicals import machine_number
from pipeline.exact.values import Number, Roots, Value

__all__ = ["numbers_behind"]

_KEY: Final = re.compile(r"~(-?\d+(?:\.\d+)?(?:e[-+]?\d+)?)")
"""The key of a real number that is kept by its digits."""
_APART: Final = 0.02
"""Numbers further apart than this are never roundings of each other."""


def numbers_behind(
    endings: Iterable[Hashable], value: Value
) -> Iterator[tuple[Hashable, Number, Surd]]:
    """Yield the endings near one typed number, with that number and forty digits of the ending."""
    typed = value.members[0] if isinstance(value, Roots) and len(value.members) == 1 else value
    if not isinstance(typed, Number) or typed.surd is None or not typed.surd.is_rational:
        return
    size = machine_number(typed.surd.as_fraction())
    for ending in endings:
        found = _KEY.fullmatch(ending) if isinstance(ending, str) else None
        if found and abs(float(found[1]) - size) <= _APART:
            yield ending, typed, Surd.of(Fraction(found[1]))
