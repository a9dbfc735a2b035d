"""Equations and expressions as the course prints them: plain ASCII, one way only."""

from __future__ import annotations

from fractions import Fraction

from synthetic_data.surds import Rational
from synthetic_data.values import Polynomial, polynomial


def fraction_text(value: Rational) -> str:
    """A rational number: `-3/4`, `5`."""
    exact = Fraction(value)
    if exact.denominator == 1:
        return str(exact.numerator)
    return f"{exact.numerator}/{exact.denominator}"


def _term(power: int, size: Fraction, letter: str) -> str:
    symbol = "" if power == 0 else letter if power == 1 else f"{letter}^{power}"
    if not symbol:
        return fraction_text(size)
    if size == 1:
        return symbol
    return f"{size.numerator}{symbol}" if size.denominator == 1 else f"({size}){symbol}"


def polynomial_text(value: Polynomial, letter: str = "x") -> str:
    """A polynomial with blanks around its signs: `2x^2 - 3x + 1`."""
    if not value.terms:
        return "0"
    words: list[str] = []
    for power, factor in value.terms:
        sign = "-" if factor < 0 else "+"
        term = _term(power, abs(factor), letter)
        if words:
            words += [sign, term]
        else:
            words.append(term if sign == "+" else f"-{term}")
    return " ".join(words)


def quadratic_text(a: Rational, b: Rational, c: Rational, letter: str = "x") -> str:
    """The text of ax^2 + bx + c."""
    return polynomial_text(polynomial({2: a, 1: b, 0: c}), letter)


def binomial(slope: Rational, constant: Rational, letter: str = "x") -> str:
    """The text of px + q."""
    return polynomial_text(polynomial({1: slope, 0: constant}), letter)
