"""Sympy source of exact numbers: `Rational(-1, 2) + 3*sqrt(2)`."""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache


@lru_cache(maxsize=65_536)
def surd_source(terms: tuple[tuple[int, int], ...], denominator: int) -> str:
    """Return source for pairs (radicand, coefficient) over a denominator, rational part first."""
    if not terms:
        return "0"
    if len(terms) == 1 and terms[0][0] == 1:
        whole = terms[0][1]
        return str(whole) if denominator == 1 else f"Rational({whole}, {denominator})"
    ordered = sorted(terms, key=lambda term: (term[0] != 1, term[0] < 0, abs(term[0])))
    text = ""
    for d, n in ordered:
        piece = _term_source(d, Fraction(abs(n), denominator))
        if not text:
            text = _leading(piece, n, d, denominator)
        else:
            text += (" - " if n < 0 else " + ") + piece
    return text


def _leading(piece: str, coefficient: int, radicand: int, denominator: int) -> str:
    if coefficient > 0:
        return piece
    size = Fraction(abs(coefficient), denominator)
    if radicand == 1 and size.denominator != 1:
        return f"Rational(-{size.numerator}, {size.denominator})"
    return "-" + piece


def _term_source(radicand: int, size: Fraction) -> str:
    radical = f"sqrt({abs(radicand)})" if abs(radicand) != 1 else ""
    symbol = "*".join(part for part in (radical, "I" if radicand < 0 else "") if part)
    if size.denominator == 1:
        number = str(size.numerator)
    else:
        number = f"Rational({size.numerator}, {size.denominator})"
    if not symbol:
        return number
    if size == 1:
        return symbol
    if size.denominator == 1 or size.numerator != 1:
        head = "" if size.numerator == 1 else f"{size.numerator}*"
        return head + symbol + ("" if size.denominator == 1 else f"/{size.denominator}")
    return f"{symbol}/{size.denominator}"
