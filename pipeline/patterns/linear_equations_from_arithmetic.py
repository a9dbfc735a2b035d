"""Errors in solving linear equations that begin in arithmetic and in reading letters."""

from __future__ import annotations

from itertools import pairwise

from pipeline.exact.numbers import Surd
from pipeline.patterns.rational_equations import fractions_multiplied_straight_across
from pipeline.patterns.registry import instead_of, pattern
from pipeline.patterns.signs import two_minuses_make_plus_in_sum
from pipeline.patterns.substitution import coefficient_and_value_joined
from pipeline.procedures.equations import ONE, ZERO, Bracket, Equation
from pipeline.procedures.operations import carry_constant, copy_equation, divide
from pipeline.procedures.proportions import PROPORTION, fourth_term
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
        "solve | x/6 = 4/8 | 16/3",
    ),
    silent=(
        "solve | 3/7 = x/28 | 12",
        "solve | x/28 = 3 | 84",
    ),
)
@instead_of(fourth_term, PROPORTION)
def proportion_multiplied_along_one_side(beside: Surd, level: Surd, across: Surd) -> Surd:
    """Multiplies both numbers of one fraction in a proportion and divides by the third."""
    return level * across / beside


@pattern(
    "proportion-by-differences",
    skill=_SKILL,
    source="Hart 1981; Tourniaire and Pulos 1985 (both from memory)",
    shows=(
        "solve | 2/3 = x/12 | 11",
        "solve | 6/8 = x/20 | 18",
    ),
    silent=(
        "solve | 2/3 = x/12 | 8",
        "solve | 6/8 = x/20 | 16",
    ),
)
@instead_of(fourth_term, PROPORTION)
def proportion_by_differences(beside: Surd, level: Surd, across: Surd) -> Surd:
    """Keeps the difference of the two numbers the same instead of their quotient."""
    return beside + level - across


@fractions_multiplied_straight_across.also(
    fourth_term,
    PROPORTION,
    shows=("solve | x/6 = 4/8 | 12", "solve | 6/8 = x/20 | 80/3"),
    silent=("solve | x/6 = 4/8 | 3", "solve | 6/8 = x/20 | 15"),
)
def _multiplied_straight_across(beside: Surd, level: Surd, across: Surd) -> Surd:
    return beside * across / level


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
