"""Errors in solving linear equations that begin in arithmetic and in reading letters."""

from __future__ import annotations

from itertools import pairwise

from pipeline.exact.numbers import Surd
from pipeline.patterns.registry import instead_of, pattern
from pipeline.patterns.signs import two_minuses_make_plus_in_sum
from pipeline.patterns.substitution import coefficient_and_value_joined
from pipeline.procedures.equations import ONE, ZERO, Bracket, Equation
from pipeline.procedures.operations import carry_constant, copy_equation, divide
from pipeline.procedures.walk import Choices

_SKILL = "linear equations"
_PLACE = "linear equation"


@pattern(
    "multiplied-by-coefficient",
    skill=_SKILL,
    source="Otero, Druga and Lan 2024, label 30",
    shows=(
        "solve | 0.15x = 60 | 9",
        "solve | 4x = 12 | 48",
    ),
    silent=(
        "solve | 0.15x = 60 | 400",
        "solve | x/4 = 12 | 3",
    ),
)
@instead_of(divide, _PLACE)
def multiplied_by_coefficient(right: Surd, a: Surd) -> Surd | None:
    """Multiplies by the number before the unknown where one has to divide by it."""
    unit = a.is_rational and abs(a.as_fraction().numerator) == 1
    return None if unit else right * a


@pattern(
    "constant-carried-turned-round",
    skill=_SKILL,
    source="Otero, Druga and Lan 2024, label 33 (Linchevski and Herscovics 1996)",
    shows=(
        "solve | 5n + 90 = 240 | -30",
        "solve | x + 12 = 30 | -18",
    ),
    silent=(
        "solve | 5n + 90 = 240 | 30",
        "solve | 5n = 150 | -30",
    ),
)
@instead_of(carry_constant, _PLACE)
def constant_carried_turned_round(here: Surd, there: Surd) -> Surd:
    """Turns the difference round when a constant is carried: from 5n + 90 = 240 takes 90 - 240."""
    return there - here


@pattern(
    "proportion-multiplied-along-one-side",
    skill=_SKILL,
    source="Otero, Druga and Lan 2024, label 25",
    shows=(
        "solve | 3/7 = x/28 | 21/28",
        "solve | x/15 = 2/5 | 2/3",
    ),
    silent=(
        "solve | 3/7 = x/28 | 12",
        "solve | x/28 = 3 | 84",
    ),
)
@instead_of(divide, _PLACE)
def proportion_multiplied_along_one_side(right: Surd, a: Surd) -> Surd | None:
    """Multiplies both numbers of one fraction in a proportion and divides by the third."""
    if not (right.is_rational and a.is_rational) or right.is_integer:
        return None
    known, factor = right.as_fraction(), a.as_fraction()
    if factor.numerator != 1 or factor.denominator == 1:
        return None
    return Surd.of(known.numerator * known.denominator) / factor.denominator


@coefficient_and_value_joined.also(
    copy_equation,
    _PLACE,
    shows=("solve | 3x + x = 48 | 9", "solve | 2x + 4x = 80 | 10"),
    silent=("solve | 3x + x = 48 | 12", "solve | 3x = 48 | 16"),
)
def _unknown_joined_as_digit(equation: Equation) -> Equation | None:
    """Reads a number before the unknown as tens: 3x as 30 and x."""
    terms = [*equation.brackets[0], *equation.brackets[1]]
    if any(term.written or term.q or not _is_digit(term.p) for term in equation.brackets[0]):
        return None
    if len(terms) < 3 or any(term.written or term.p for term in equation.brackets[1]):
        return None
    tens = sum((10 * term.p for term in equation.brackets[0] if term.p != ONE), ZERO)
    units = Surd.of(len(equation.brackets[0]))
    return Equation((ZERO, units, tens), equation.right)


def _is_digit(number: Surd) -> bool:
    return number.is_integer and 1 <= int(number.as_fraction()) <= 9


@two_minuses_make_plus_in_sum.also(
    copy_equation,
    _PLACE,
    shows=("solve | -8 - 3 = x | 11", "solve | 2x - 5 - 7 = 4 | -4"),
    silent=("solve | -8 - 3 = x | -11", "solve | 2x - 5 + 7 = 4 | -4"),
)
def _negative_constants_made_positive(equation: Equation) -> Choices | None:
    """Makes the sum of two negative numbers of a side positive, as in a product."""
    sides = equation.brackets
    if any(term.written for side in sides for term in side):
        return None
    left, right = (_turned(side) for side in sides)
    return Choices(
        [Equation((ZERO, p, q), equation.right) for p, q in left]
        + [Equation(equation.left, (ZERO, p, q)) for p, q in right]
    )


def _turned(side: tuple[Bracket, ...]) -> list[tuple[Surd, Surd]]:
    """A side's coefficients where two neighboring negative constants turn positive."""
    whole_p = sum((term.p for term in side), ZERO)
    whole_q = sum((term.q for term in side), ZERO)
    constants = [term.q for term in side if not term.p]
    return [
        (whole_p, whole_q - 2 * (one + two))
        for one, two in pairwise(constants)
        if one.is_real and two.is_real and one.real_sign() < 0 and two.real_sign() < 0
    ]
