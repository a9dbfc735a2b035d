"""Errors in equations with the unknown in an exponent."""

from __future__ import annotations

from pipeline.exact.numbers import Surd
from pipeline.patterns.polynomial_equations import stopped_at_substitute
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.equations import ONE, ZERO
from pipeline.procedures.exponential_equations import (
    match_exponents,
    same_base,
    start_unwrapping,
    undo_substitution,
)
from pipeline.procedures.logarithms import LOGARITHM
from pipeline.procedures.operations import Roots
from pipeline.procedures.quantities import EULER, Quantity, logarithm, over, times
from pipeline.procedures.walk import Choices

_SKILL = "logarithms"
_TEN = Surd.of(10)
Unwrapped = tuple[Surd, Quantity, Surd]


@pattern(
    "coefficient-joined-to-base",
    skill=_SKILL,
    source="common practice",
    shows=(
        "logarithm | 3*2^x = 36 | 2",
        "logarithm | 5*2^x = 40 | log(40)",
    ),
    silent=(
        "logarithm | 5*2^x = 40 | 3",
        "logarithm | 6^x = 36 | 2",
    ),
)
@instead_of(start_unwrapping, LOGARITHM)
def coefficient_joined_to_base(factor: Surd, base: Quantity, rest: Surd) -> Unwrapped:
    """Multiplies the number before a power into its base: 3 * 2^x as 6^x."""
    return ONE, times(base, factor), rest


@pattern(
    "constant-joined-to-coefficient",
    skill=_SKILL,
    source="common practice",
    shows=(
        "logarithm | 1 + 2*3^x = 27 | 2",
        "logarithm | 3 + 2*5^x = 125 | 2",
    ),
    silent=(
        "logarithm | 3 + 2*5^x = 53 | 2",
        "logarithm | 3*3^x = 27 | 2",
    ),
)
@instead_of(start_unwrapping, LOGARITHM)
def constant_joined_to_coefficient(factor: Surd, base: Quantity, rest: Surd) -> Unwrapped | None:
    """Adds a constant to the number before a power: 1 + 2 * 3^x as 3 * 3^x."""
    return (factor + rest, base, ZERO) if rest else None


@pattern(
    "logarithm-of-base-left-out",
    skill=_SKILL,
    source="common practice",
    shows=(
        "logarithm | 2^x = 7 | ln(7)",
        "logarithm | 3^(2x) = 5 | log(5)/2",
    ),
    silent=(
        "logarithm | 2^x = 7 | ln(7)/ln(2)",
        "logarithm | 10^x = 250 | log(250)",
        "logarithm | e^(2x) = 5 | ln(5)/2",
    ),
)
@instead_of(match_exponents, LOGARITHM)
def logarithm_of_base_left_out(base: Quantity, right: Surd) -> Choices | None:
    """Takes the logarithm of the right side and does not divide by that of the base."""
    if right.real_sign() <= 0 or right == 1:
        return None
    return Choices(logarithm(right, other) for other in (EULER, _TEN) if other != base)


@pattern(
    "quotient-of-logarithms-as-logarithm-of-quotient",
    skill=_SKILL,
    source="common practice",
    shows=(
        "logarithm | 2^x = 7 | ln(7/2)",
        "logarithm | 3^x = 5 | log(5/3)",
    ),
    silent=(
        "logarithm | 2^x = 7 | ln(7)/ln(2)",
        "logarithm | 2^x = 7 | 7/2",
    ),
)
@instead_of(match_exponents, LOGARITHM)
def quotient_of_logarithms_as_logarithm_of_quotient(base: Quantity, right: Surd) -> Choices | None:
    """Takes the logarithm of a quotient where the quotient of two logarithms is needed."""
    if right.real_sign() <= 0 or not isinstance(base, Surd):
        return None
    inside = over(right, base)
    return Choices((logarithm(inside), logarithm(inside, _TEN)))


@pattern(
    "exponents-of-unlike-bases-equated",
    skill=_SKILL,
    source="common practice",
    shows=(
        "logarithm | 2^(2x) = 8^(x - 1) | -1",
        "logarithm | 4^x = 8^(2x - 5) | 5",
    ),
    silent=(
        "logarithm | 2^(2x) = 8^(x - 1) | 3",
        "logarithm | 2^(2x) = 2^(x - 1) | -1",
    ),
)
@instead_of(same_base, LOGARITHM)
def exponents_of_unlike_bases_equated(first: Quantity, second: Quantity) -> tuple[Surd, Surd]:
    """Sets exponents equal though their bases are not the same."""
    return ONE, ONE


@pattern(
    "exponent-of-other-side-multiplied",
    skill=_SKILL,
    source="common practice",
    shows=(
        "logarithm | 2^(2x) = 8^(x - 1) | -1/5",
        "logarithm | 3^(x + 1) = 9^x | -2",
    ),
    silent=(
        "logarithm | 2^(2x) = 8^(x - 1) | 3",
        "logarithm | 3^(x + 1) = 9^x | 1",
    ),
)
@instead_of(same_base, LOGARITHM)
def exponent_of_other_side_multiplied(first: Quantity, second: Quantity) -> tuple[Surd, Surd]:
    """Multiplies the exponent of the wrong side when both are written with one base."""
    k, m = same_base(first, second)
    return m, k


@stopped_at_substitute.also(
    undo_substitution,
    LOGARITHM,
    shows=(
        "logarithm | 4^x - 2^x - 12 = 0 | 4, -3",
        "logarithm | 9^x - 4*3^x + 3 = 0 | 1, 3",
    ),
    silent=("logarithm | 4^x - 2^x - 12 = 0 | 2", "logarithm | 9^x - 4*3^x + 3 = 0 | 0, 1"),
)
def _values_of_the_power_given(base: Quantity, roots: Roots) -> Roots:
    return roots
