"""Errors in undoing a power."""

from __future__ import annotations

from fractions import Fraction

from pipeline.exact.building import tree_of_surd
from pipeline.exact.evaluate import root_of
from pipeline.exact.numbers import Surd
from pipeline.exact.trees import Negation, Numeral, Power, Quotient
from pipeline.exact.values import Number, Roots
from pipeline.patterns.registry import instead_of, pattern
from pipeline.patterns.square_root_property import plus_minus_dropped
from pipeline.procedures.endings import comparable_value
from pipeline.procedures.radical_equations import BARE_POWER, POWER, raise_both
from pipeline.procedures.walk import Ending

_SKILL = "radical equations"


@pattern(
    "odd-root-given-both-signs",
    skill=_SKILL,
    source="Mathematics Educators question 14757 (a comment)",
    shows=(
        "solve | x^3 = 8 | 2, -2",
        "solve | (x - 1)^3 = 27 | 4, -2",
    ),
    silent=(
        "solve | x^3 = 8 | 2",
        "solve | x^4 = 16 | 2, -2",
    ),
)
@instead_of(raise_both, POWER, BARE_POWER)
def odd_root_given_both_signs(right: Surd, above: int, below: int) -> tuple[Surd, ...] | None:
    """Gives an odd root both signs, as if it were a square root."""
    if above % 2 == 0 or above == 1:
        return None
    (value,) = raise_both(right, above, below)
    return value, -value


@odd_root_given_both_signs.also(
    raise_both,
    BARE_POWER,
    shows=("solve | x^3 = 5 | x = ±5^(1/3)", r"solve | x^3 + 2 = 12 | \pm\sqrt[3]{10}"),
    silent=("solve | x^3 = 5 | 5^(1/3)", "solve | x^3 = 5 | ±sqrt(5)"),
)
def _irrational_root_given_both_signs(right: Surd, above: int, below: int) -> Ending | None:
    """Gives an odd root both signs, as if it were a square root."""
    if above % 2 == 0 or above == 1 or below != 1 or not right.is_rational:
        return None
    size = right if right.real_sign() > 0 else -right
    if root_of(size, above) is not None:
        return None
    plus = Power(tree_of_surd(size), Quotient(Numeral(Fraction(1)), Numeral(Fraction(above))))
    both = Roots((Number(None, plus), Number(None, Negation(plus))))
    return Ending(comparable_value(both))


@pattern(
    "power-undone-by-dividing",
    skill=_SKILL,
    source="C. Robinson 2013, answers on powers; common practice",
    shows=(
        "solve | x^3 = 27 | 9",
        "solve | x^(3/2) = 27 | 18",
    ),
    silent=(
        "solve | x^3 = 27 | 3",
        "solve | x^(3/2) = 27 | 9",
    ),
)
@instead_of(raise_both, POWER, BARE_POWER)
def power_undone_by_dividing(right: Surd, above: int, below: int) -> tuple[Surd, ...]:
    """Divides by the exponent instead of taking the root."""
    return (right * below / above,)


@pattern(
    "denominator-of-exponent-forgotten",
    skill=_SKILL,
    source="common practice",
    shows=(
        "solve | x^(3/2) = 27 | 3",
        "solve | (x + 5)^(3/2) = 8 | -3",
    ),
    silent=(
        "solve | x^(3/2) = 27 | 9",
        "solve | x^3 = 27 | 3",
    ),
)
@instead_of(raise_both, POWER, BARE_POWER)
def denominator_of_exponent_forgotten(
    right: Surd, above: int, below: int
) -> tuple[Surd, ...] | None:
    """Takes the root that the numerator of the exponent says and forgets its denominator."""
    return raise_both(right, above, 1) if below > 1 and above > 1 else None


@plus_minus_dropped.also(raise_both, POWER, BARE_POWER)
def _positive_root_alone(right: Surd, above: int, below: int) -> tuple[Surd, ...] | None:
    found = raise_both(right, above, below)
    return found[:1] if len(found) == 2 else None
