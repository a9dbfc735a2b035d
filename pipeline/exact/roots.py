"""Principal square roots of exact numbers."""

from __future__ import annotations

from pipeline.exact.numbers import Surd
from pipeline.exact.radicals import denested, square_part

__all__ = ["principal_root"]


def principal_root(number: Surd) -> Surd | None:
    """Return the principal square root, or None when it is no surd."""
    if number.is_rational:
        return _of_rational(number)
    parts = denested(number.terms, number.denominator)
    if parts is None:
        return None
    larger, smaller = (_of_rational(Surd.of(part)) for part in parts)
    for candidate in (larger + smaller, larger - smaller):
        if candidate * candidate == number:
            return candidate
    return None


def _of_rational(number: Surd) -> Surd:
    if not number:
        return number
    value = number.as_fraction()
    outside, radicand = square_part(value.numerator * value.denominator)
    return Surd(((radicand, outside),), value.denominator)
