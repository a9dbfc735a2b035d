"""Errors in reducing fractions without a common factor."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from math import gcd

from pipeline.exact.trees import Quotient
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.rewriting.operations import divide
from pipeline.procedures.rewriting.terms import number, whole
from pipeline.procedures.walk import Choices

_LARGEST = 144
"""Largest common factor by which both parts are divided in one step."""


@pattern(
    "fraction-reduced-by-guess",
    skill="fractions",
    source="Ashlock 2006, labels 2 and 6 of Otero, Druga and Lan 2024",
    shows=(
        "simplify | 24/36 | 5/9",
        "simplify | 24/36 | 4/9",
        "evaluate | 18/27 | 3/9",
    ),
    silent=(
        "simplify | 24/36 | 2/3",
        "simplify | 24/36 | 7/11",
        "simplify | 5/7 | 4/7",
    ),
)
@instead_of(divide)
def fraction_reduced_by_guess(place: Quotient) -> Choices | None:
    """Divides the two parts of a fraction by different numbers, or misses one quotient by one."""
    top, below = whole(place.numerator), whole(place.denominator)
    if not top or not below or below < 2:
        return None
    return Choices(map(number, _guesses(top, below)))


def _guesses(top: int, below: int) -> Iterator[Fraction]:
    common = gcd(top, below)
    factors = [one for one in range(2, min(common, _LARGEST) + 1) if common % one == 0]
    for first in factors:
        upper, lower = top // first, below // first
        yield from (Fraction(upper + miss, lower) for miss in (1, -1))
        yield from (Fraction(upper, lower + miss) for miss in (1, -1) if lower + miss)
        yield from (Fraction(upper, below // second) for second in factors if second != first)
