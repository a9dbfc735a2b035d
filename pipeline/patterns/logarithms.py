"""Errors with logarithms and with unknowns in exponents."""

from __future__ import annotations

from pipeline.exact.numbers import Surd
from pipeline.patterns.radical_equations import extraneous_root_kept
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.equations import Coefficients
from pipeline.procedures.exponential_equations import match_exponents
from pipeline.procedures.logarithms import (
    LOGARITHM,
    Logarithms,
    combine_logs,
    evaluate_log,
    exponent_for,
    keep_positive,
    to_exponential,
)
from pipeline.procedures.operations import Roots
from pipeline.procedures.polynomial_roots import added, scaled
from pipeline.procedures.quantities import Quantity, logarithm, over, raised, times
from pipeline.procedures.walk import Abandoned

_SKILL = "logarithms"
_ONE = (Surd.of(1),)
Ratio = tuple[Coefficients, Coefficients]


@pattern(
    "logarithm-as-quotient",
    skill=_SKILL,
    source="common practice",
    shows=(
        "logarithm | log_2(8) | 4",
        "logarithm | log_3(81) | 27",
    ),
    silent=(
        "logarithm | log_2(8) | 3",
        "logarithm | log_2(8) | 16",
    ),
)
@instead_of(evaluate_log, LOGARITHM)
def logarithm_as_quotient(base: Quantity, argument: Quantity) -> Quantity:
    """Divides the number by the base."""
    return over(argument, base)


@pattern(
    "base-and-number-swapped",
    skill=_SKILL,
    source="common practice",
    shows=(
        "logarithm | log_2(8) | 1/3",
        "logarithm | log_25(5) | 2",
    ),
    silent=(
        "logarithm | log_2(8) | 3",
        "logarithm | log_25(5) | 1/2",
    ),
)
@instead_of(evaluate_log, LOGARITHM)
def base_and_number_swapped(base: Quantity, argument: Quantity) -> Quantity | None:
    """Asks which power of the number the base is."""
    if argument == Surd.of(1):
        return None
    try:
        return 1 / exponent_for(base, argument)
    except Abandoned:
        return over(logarithm(base), logarithm(argument))


@base_and_number_swapped.also(
    match_exponents,
    LOGARITHM,
    shows=("logarithm | 2^x = 7 | ln(2)/ln(7)", "logarithm | 4^x = 64 | 1/3"),
    silent=("logarithm | 2^x = 7 | ln(7)/ln(2)", "logarithm | 2^x = 7 | 7/2"),
)
def _exponent_upside_down(base: Quantity, right: Surd) -> Quantity | None:
    if right == 1 or right.real_sign() <= 0:
        return None
    return over(logarithm(base), logarithm(right))


@pattern(
    "logarithm-of-fraction-made-positive",
    skill=_SKILL,
    source="common practice",
    shows=(
        "logarithm | log_2(1/8) | 3",
        "logarithm | log_3(1/9) | 2",
    ),
    silent=(
        "logarithm | log_2(1/8) | -3",
        "logarithm | log_2(8) | -3",
    ),
)
@instead_of(evaluate_log, LOGARITHM)
def logarithm_of_fraction_made_positive(base: Quantity, argument: Quantity) -> Surd | None:
    """Loses the minus of a logarithm of a number between 0 and 1."""
    found = exponent_for(base, argument)
    return -found if found.real_sign() < 0 else None


@pattern(
    "logarithm-of-one-as-one",
    skill=_SKILL,
    source="common practice",
    shows=(
        "logarithm | log_5(1) | 1",
        "logarithm | log(1) | 1",
    ),
    silent=(
        "logarithm | log_5(1) | 0",
        "logarithm | log_5(5) | 0",
    ),
)
@instead_of(evaluate_log, LOGARITHM)
def logarithm_of_one_as_one(base: Quantity, argument: Quantity) -> Surd | None:
    """Gives 1 as the logarithm of 1."""
    return Surd.of(1) if argument == Surd.of(1) else None


@pattern(
    "base-and-exponent-swapped",
    skill=_SKILL,
    source="common practice",
    shows=(
        "logarithm | log_2(x + 3) = 5 | 22",
        "logarithm | log_3(x) = 4 | 64",
    ),
    silent=(
        "logarithm | log_2(x + 3) = 5 | 29",
        "logarithm | log_3(x) = 4 | 12",
    ),
)
@instead_of(to_exponential, LOGARITHM)
def base_and_exponent_swapped(base: Quantity, right: Surd) -> Quantity | None:
    """Raises the right side to the base instead of the base to the right side."""
    small = not isinstance(base, Surd) or (base.is_integer and abs(base.as_fraction()) <= 12)
    return raised(right, base) if small and right.is_rational else None


@pattern(
    "base-times-right-side",
    skill=_SKILL,
    source="common practice",
    shows=(
        "logarithm | log_2(x + 3) = 5 | 7",
        "logarithm | log_3(x) = 4 | 12",
    ),
    silent=(
        "logarithm | log_2(x + 3) = 5 | 29",
        "logarithm | log_3(x) = 4 | 81",
    ),
)
@instead_of(to_exponential, LOGARITHM)
def base_times_right_side(base: Quantity, right: Surd) -> Quantity:
    """Multiplies the base by the right side."""
    return times(base, right)


@pattern(
    "logarithm-crossed-out",
    skill=_SKILL,
    source="common practice",
    shows=(
        "logarithm | log_2(x + 3) = 5 | 2",
        "logarithm | log_3(2x) = 4 | 2",
    ),
    silent=(
        "logarithm | log_2(x + 3) = 5 | 29",
        "logarithm | log_2(x + 3) = 5 | 22",
    ),
)
@instead_of(to_exponential, LOGARITHM)
def logarithm_crossed_out(base: Quantity, right: Surd) -> Surd:
    """Leaves out the logarithm and keeps the right side as it is."""
    return right


@pattern(
    "sum-of-logarithms-as-logarithm-of-sum",
    skill=_SKILL,
    source="T. L. Scofield 2003, Top Algebra Errors Made by Calculus Students (the same form)",
    shows=(
        "logarithm | log(x) + log(x - 3) = 1 | 13/2",
        "logarithm | log_3(x + 5) - log_3(x - 3) = 2 | no solution",
    ),
    silent=(
        "logarithm | log(x) + log(x - 3) = 1 | 5",
        "logarithm | log_3(x + 5) - log_3(x - 3) = 2 | 4",
    ),
)
@instead_of(combine_logs, LOGARITHM)
def sum_of_logarithms_as_logarithm_of_sum(start: Logarithms) -> Ratio | None:
    """Adds the numbers of two logarithms, or subtracts them, under one logarithm."""
    if not start.second:
        return None
    return added(start.first, scaled(start.second, Surd.of(start.side))), _ONE


@extraneous_root_kept.also(
    keep_positive,
    LOGARITHM,
    shows=(
        "logarithm | log(x) + log(x - 3) = 1 | 5, -2",
        "logarithm | log_2(x) + log_2(x - 2) = 3 | 4, -2",
    ),
    silent=("logarithm | log(x) + log(x - 3) = 1 | 5",),
)
def _nonpositive_argument_kept(roots: Roots, inside: tuple[Coefficients, ...]) -> Roots:
    """Keeps a root for which a logarithm does not exist."""
    return roots


@pattern(
    "exponent-found-by-dividing",
    skill=_SKILL,
    source="common practice",
    shows=(
        "logarithm | 3^(2x - 1) = 81 | 14",
        "logarithm | 2^x = 32 | 16",
    ),
    silent=(
        "logarithm | 3^(2x - 1) = 81 | 5/2",
        "logarithm | 2^x = 32 | 5",
    ),
)
@instead_of(match_exponents, LOGARITHM)
def exponent_found_by_dividing(base: Quantity, right: Surd) -> Quantity:
    """Divides the right side by the base to get at the exponent."""
    return over(right, base)


@pattern(
    "exponent-set-equal-to-right-side",
    skill=_SKILL,
    source="common practice",
    shows=(
        "logarithm | 3^(2x - 1) = 81 | 41",
        "logarithm | 2^(x + 1) = 32 | 31",
    ),
    silent=(
        "logarithm | 3^(2x - 1) = 81 | 5/2",
        "logarithm | 2^(x + 1) = 32 | 4",
    ),
)
@instead_of(match_exponents, LOGARITHM)
def exponent_set_equal_to_right_side(base: Quantity, right: Surd) -> Surd:
    """Sets the exponent equal to the right side and drops the base."""
    return right
