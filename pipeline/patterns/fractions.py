"""Errors with fractions."""

from __future__ import annotations

from math import lcm

from pipeline.exact.numbers import Surd
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.operations import add_square, carry_constant

_SQUARE = "completing the square"
_LINEAR = "linear equation"


@pattern(
    "fractions-added-across",
    skill="fractions",
    source="Ashlock 2006; Brown and Quinn 2006",
    shows=(
        "solve | x^2 + 13x = 16 | x = -13/2 ± √(37)",
        "solve | x - 1/2 = 5/6 | 3/4",
    ),
    silent=(
        "solve | x^2 + 13x = 16 | -13/2 ± sqrt(233)/2",
        "solve | x - 1/2 = 5/6 | 4/3",
    ),
)
@instead_of(add_square, _SQUARE)
def fractions_added_across(one: Surd, two: Surd) -> Surd | None:
    """Adds fractions by adding the numerators and adding the denominators."""
    return _across(one, two)


def _across(one: Surd, two: Surd) -> Surd | None:
    if not (one.is_rational and two.is_rational) or one.denominator == two.denominator == 1:
        return None
    if not (one and two):
        return None
    top = one * one.denominator + two * two.denominator
    return top / (one.denominator + two.denominator)


@fractions_added_across.also(carry_constant, _LINEAR)
def _constants_added_across(here: Surd, there: Surd) -> Surd | None:
    return _across(here, -there)


@pattern(
    "numerator-not-rescaled",
    skill="fractions",
    source="Ashlock 2006",
    shows=(
        "solve | x^2 - 9x = 15 | x=9/2 + 2sqrt(6) or x=9/2 - 2sqrt(6)",
        "solve | x + 1/4 = 2 | 1/4",
    ),
    silent=(
        "solve | x^2 - 9x = 15 | 9/2 ± sqrt(141)/2",
        "solve | x + 1/4 = 2 | 7/4",
    ),
)
@instead_of(add_square, _SQUARE)
def numerator_not_rescaled(one: Surd, two: Surd) -> Surd | None:
    """Puts a number over the common denominator without scaling its numerator."""
    return _unscaled(one, two)


def _unscaled(one: Surd, two: Surd) -> Surd | None:
    if not (one.is_rational and two.is_rational) or one.denominator == two.denominator:
        return None
    common = lcm(one.denominator, two.denominator)
    return (one * one.denominator + two * two.denominator) / common


@numerator_not_rescaled.also(carry_constant, _LINEAR)
def _constant_not_rescaled(here: Surd, there: Surd) -> Surd | None:
    return _unscaled(here, -there)
