"""Numbers a + b*sqrt(d), all that the wrong rules of this course can lead to.

The generator keeps its own arithmetic: were it to share the pipeline's, an error of the pipeline
would be planted as truth and never found.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

Rational = int | Fraction


@dataclass(frozen=True, slots=True)
class Surd:
    """The number `whole + part * sqrt(radicand)`.

    Args:
        whole: the rational part.
        part: the factor before the root; 0 when the number is rational.
        radicand: squarefree and not 1; negative for a complex number; 1 when `part` is 0.
    """

    whole: Fraction
    part: Fraction = Fraction(0)
    radicand: int = 1

    @property
    def is_rational(self) -> bool:
        """Whether no root is left."""
        return not self.part

    @property
    def is_real(self) -> bool:
        """Whether the number has no imaginary part."""
        return self.radicand > 0

    def decimal(self) -> float:
        """The number as a float.

        Raises:
            ValueError: for a complex number.
        """
        return float(self.whole) + float(self.part) * math.sqrt(self.radicand)


@cache
def square_factor(n: int) -> tuple[int, int]:
    """Splits n > 0 into (s, t) with n = s*s*t and t squarefree."""
    outside, inside, divisor = 1, n, 2
    while divisor * divisor <= inside:
        while inside % (divisor * divisor) == 0:
            inside //= divisor * divisor
            outside *= divisor
        divisor += 1
    return outside, inside


def number(value: Rational) -> Surd:
    """A rational number."""
    return Surd(Fraction(value))


def root(radicand: Rational, whole: Rational = 0, part: Rational = 1) -> Surd:
    """The number `whole + part * sqrt(radicand)` in lowest terms; the radicand may be negative."""
    under = Fraction(radicand)
    if not under or not part:
        return number(whole)
    sign = 1 if under > 0 else -1
    outside, inside = square_factor(abs(under.numerator) * under.denominator)
    factor = Fraction(part) * Fraction(outside, under.denominator)
    if sign * inside == 1:
        return number(Fraction(whole) + factor)
    return Surd(Fraction(whole), factor, sign * inside)


def pair(centre: Rational, radicand: Rational, scale: Rational = 1) -> tuple[Surd, ...]:
    """The one or two numbers `centre ± scale * sqrt(radicand)`, the greater sign first."""
    upper = root(radicand, centre, scale)
    lower = root(radicand, centre, -scale)
    return (upper,) if upper == lower else (upper, lower)
