"""Errors in equations with logarithms, before the logarithm is gone."""

from __future__ import annotations

from pipeline.exact.numbers import Surd
from pipeline.patterns.linear_equations import coefficient_subtracted, divided_upside_down
from pipeline.patterns.rearranging import constant_moved_same_sign
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.equations import Coefficients
from pipeline.procedures.logarithmic_equations import (
    Isolated,
    base_from,
    power_inside,
    start_removing,
)
from pipeline.procedures.logarithms import (
    LOGARITHM,
    carry_beyond,
    divide_beyond,
    to_exponential,
)
from pipeline.procedures.polynomial_roots import added, scaled
from pipeline.procedures.quantities import EULER, Quantity, minus, over, plus, raised
from pipeline.procedures.walk import Choices

_SKILL = "logarithms"
_TEN = Surd.of(10)


@pattern(
    "logarithm-removed-before-isolating",
    skill=_SKILL,
    source="common practice",
    shows=(
        "logarithm | log_2(x) + 3 = 7 | 125",
        "logarithm | 2log_3(x) = 4 | 81/2",
        "logarithm | 3ln(x) + 2 = 8 | (e^8 - 2)/3",
    ),
    silent=(
        "logarithm | log_2(x) + 3 = 7 | 16",
        "logarithm | 2log_3(x) = 4 | 9",
        "logarithm | log_2(x + 3) = 7 | 125",
    ),
)
@instead_of(start_removing, LOGARITHM)
def logarithm_removed_before_isolating(start: Isolated) -> tuple[Coefficients, Surd]:
    """Writes the equation as a power before the logarithm stands alone."""
    rest = (start.rest,) if start.rest else ()
    return added(scaled(start.inside, start.factor), rest), start.right


@pattern(
    "coefficient-of-logarithm-as-factor",
    skill=_SKILL,
    source="common practice",
    shows=(
        "logarithm | 2ln(x) = ln(16) | 8",
        "logarithm | 3log(x) = log(8) | 8/3",
    ),
    silent=(
        "logarithm | 2ln(x) = ln(16) | 4",
        "logarithm | ln(2x) = ln(16) | 8",
    ),
)
@instead_of(power_inside, LOGARITHM)
def coefficient_of_logarithm_as_factor(factor: Surd, inside: Coefficients) -> Coefficients:
    """Takes the number before a logarithm inside as a factor, not as an exponent."""
    return scaled(inside, factor)


@pattern(
    "coefficient-of-logarithm-dropped",
    skill=_SKILL,
    source="common practice",
    shows=(
        "logarithm | 2ln(x) = ln(16) | 16",
        "logarithm | 3log(x) = log(8) | 8",
    ),
    silent=(
        "logarithm | 2ln(x) = ln(16) | 4",
        "logarithm | ln(x) = ln(16) | 16",
    ),
)
@instead_of(power_inside, LOGARITHM)
def coefficient_of_logarithm_dropped(factor: Surd, inside: Coefficients) -> Coefficients:
    """Leaves out the number before a logarithm."""
    return inside


@pattern(
    "logarithm-read-with-other-base",
    skill=_SKILL,
    source="common practice",
    shows=(
        "logarithm | ln(x) = 2 | 100",
        "logarithm | log(x) = 3 | e^3",
        "logarithm | log_2(x) = 3 | 1000",
    ),
    silent=(
        "logarithm | ln(x) = 2 | e^2",
        "logarithm | log(x) = 3 | 1000",
        "logarithm | log_2(x) = 3 | 8",
    ),
)
@instead_of(to_exponential, LOGARITHM)
def logarithm_read_with_other_base(base: Quantity, right: Surd) -> Choices:
    """Raises 10 or e to the right side where the logarithm has another base."""
    return Choices(raised(other, right) for other in (_TEN, EULER) if other != base)


@pattern(
    "base-found-by-dividing",
    skill=_SKILL,
    source="common practice",
    shows=(
        "logarithm | log_x(64) = 3 | 64/3",
        "logarithm | log_x(25) = 2 | 25/2",
    ),
    silent=(
        "logarithm | log_x(64) = 3 | 4",
        "logarithm | log_x(25) = 2 | 5",
    ),
)
@instead_of(base_from, LOGARITHM)
def base_found_by_dividing(argument: Quantity, right: Surd) -> Quantity:
    """Divides the number by the logarithm to find the base."""
    return over(argument, right)


@constant_moved_same_sign.also(
    carry_beyond,
    LOGARITHM,
    shows=("logarithm | ln(x + 1) = 2 | e^2 + 1", "logarithm | 2^(x + 1) = 7 | ln(7)/ln(2) + 1"),
    silent=("logarithm | ln(x + 1) = 2 | e^2 - 1", "logarithm | ln(x) = 2 | e^2 + 1"),
)
def _constant_beside_a_power(here: Quantity, there: Surd) -> Quantity:
    return plus(here, there)


@coefficient_subtracted.also(
    divide_beyond,
    LOGARITHM,
    shows=("logarithm | e^(2x) = 5 | ln(5) - 2", "logarithm | ln(3x) = 2 | e^2 - 3"),
    silent=("logarithm | e^(2x) = 5 | ln(5)/2", "logarithm | ln(3x) = 2 | e^2/3"),
)
def _coefficient_of_exponent_subtracted(right: Quantity, a: Surd) -> Quantity:
    return minus(right, a)


@divided_upside_down.also(
    divide_beyond,
    LOGARITHM,
    shows=("logarithm | e^(2x) = 5 | 2/ln(5)", "logarithm | ln(3x) = 2 | 3/e^2"),
    silent=("logarithm | e^(2x) = 5 | ln(5)/2", "logarithm | ln(3x) = 2 | e^2/3"),
)
def _exponent_divided_upside_down(right: Quantity, a: Surd) -> Quantity:
    return over(a, right)
