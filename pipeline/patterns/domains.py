"""Errors with domains of functions."""

from __future__ import annotations

from pipeline.exact.coefficients import Coefficients, real_roots
from pipeline.exact.numbers import Surd
from pipeline.exact.regions import WHOLE_LINE
from pipeline.exact.values import Region
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.inequalities import all_but, region_where
from pipeline.procedures.walk import Choices, Ending, Place
from pipeline.tasks.domain import Condition, boundary, choose_conditions


@pattern(
    source="common practice",
    shows=(
        "domain | 1/(x - 3) | 3",
        "domain | 1/(x^2 - 9) | 3, -3",
    ),
    silent=(
        "domain | 1/(x - 3) | x != 3",
        "domain | sqrt(x - 3) | x >= 3",
    ),
)
@instead_of(boundary, Place.DOMAIN)
def excluded_value_given_as_domain(condition: Condition) -> Ending | None:
    """Gives the values that are to be left out as the domain."""
    return Ending(real_roots(condition.inside)) if condition.kind == "nonzero" else None


@pattern(
    source="common practice",
    shows=(
        "domain | 1/(x^2 - 9) | x != 3",
        "domain | (x + 1)/(x^2 - 5x) | x != 0",
    ),
    silent=(
        "domain | 1/(x^2 - 9) | x != 3 and x != -3",
        "domain | 1/(x - 3) | x != -3",
    ),
)
@instead_of(boundary, Place.DOMAIN)
def one_excluded_value_forgotten(condition: Condition) -> Choices | None:
    """Leaves out one zero of the denominator and forgets another."""
    points = real_roots(condition.inside)
    if condition.kind != "nonzero" or len(points) < 2:
        return None
    return Choices(all_but(points - {one}) for one in points)


@pattern(
    source="common practice",
    shows=(
        "domain | sqrt(2x - 6) | x >= 0",
        "domain | 1/(x - 3) | x != 0",
        "domain | log(x - 3) | x > 0",
    ),
    silent=(
        "domain | sqrt(2x - 6) | x >= 3",
        "domain | sqrt(2x - 6) | x >= 6",
    ),
)
@instead_of(boundary, Place.DOMAIN)
def letter_itself_bounded(condition: Condition) -> Region:
    """Puts on the letter itself the condition that is meant for the whole expression."""
    return boundary(Condition(condition.kind, (Surd.of(0), Surd.of(1))))


@pattern(
    source="common practice",
    shows=(
        "domain | sqrt(2x - 6) | x >= 6",
        "domain | 1/(3x - 12) | x != 12",
    ),
    silent=(
        "domain | sqrt(2x - 6) | x >= 3",
        "domain | sqrt(x - 6) | x >= 6",
    ),
)
@instead_of(boundary, Place.DOMAIN)
def coefficient_ignored_in_condition(condition: Condition) -> Region | None:
    """Does not divide by the number before the letter."""
    if len(condition.inside) != 2 or condition.inside[1].real_sign() < 0:
        return None
    return boundary(Condition(condition.kind, (condition.inside[0], Surd.of(1))))


@pattern(
    source="OpenStax Elementary Algebra 2e, 8.6 (related: in equations); common practice",
    shows=(
        "domain | sqrt(x + 1)/(x - 2) | x >= -1",
        "domain | 1/(x - 3) | all real numbers",
    ),
    silent=(
        "domain | sqrt(x + 1)/(x - 2) | x >= -1 and x != 2",
        "domain | sqrt(x - 3) | all real numbers",
    ),
)
@instead_of(boundary, Place.DOMAIN)
def zero_of_denominator_overlooked(condition: Condition) -> Region | None:
    """Does not leave out the zeros of a denominator."""
    return WHOLE_LINE if condition.kind == "nonzero" else None


@pattern(
    source="common practice",
    shows=(
        "domain | sqrt(x - 3) | all real numbers",
        "domain | sqrt(x + 1)/(x - 2) | x != 2",
    ),
    silent=(
        "domain | sqrt(x - 3) | x >= 3",
        "domain | 1/(x - 3) | all real numbers",
    ),
)
@instead_of(boundary, Place.DOMAIN)
def radicand_sign_overlooked(condition: Condition) -> Region | None:
    """Does not ask that what stands under a root, or in a logarithm, be positive."""
    return None if condition.kind == "nonzero" else WHOLE_LINE


@pattern(
    source="common practice",
    shows=(
        "domain | sqrt(x - 3) | x != 3",
        "domain | log(x + 5) | x != -5",
    ),
    silent=(
        "domain | sqrt(x - 3) | x >= 3",
        "domain | 1/(x - 3) | x != -3",
    ),
)
@instead_of(boundary, Place.DOMAIN)
def root_condition_as_unequal(condition: Condition) -> Region | None:
    """Leaves out one number where all negative values are to be left out."""
    return None if condition.kind == "nonzero" else all_but(real_roots(condition.inside))


@pattern(
    source="common practice",
    shows=(
        "domain | sqrt(x - 3) | x <= 3",
        "domain | sqrt(9 - x^2) | x <= -3 or x >= 3",
    ),
    silent=(
        "domain | sqrt(x - 3) | x >= 3",
        "domain | sqrt(x - 3) | x <= -3",
    ),
)
@instead_of(boundary, Place.DOMAIN)
def domain_on_the_wrong_side(condition: Condition) -> Region | None:
    """Gives the numbers on the other side of the boundary."""
    if condition.kind == "nonzero" or (
        len(condition.inside) == 2 and condition.inside[1].real_sign() < 0
    ):
        return None
    sign = "<" if condition.kind == "positive" else "<="
    return region_where(condition.inside, (Surd.of(1),), sign)


@pattern(
    source="common practice",
    shows=(
        "domain | (x - 2)/(x - 5) | x != 2 and x != 5",
        "domain | (x - 2)/(x - 5) | x != 2",
        "domain | (x + 2)/(x^2 - 9) | x != -2, 3, -3",
    ),
    silent=(
        "domain | (x - 2)/(x - 5) | x != 5",
        "domain | (x + 2)/(x^2 - 9) | x != 3, -3",
        "domain | 2/(x - 5) | x != 2",
    ),
)
@instead_of(choose_conditions, Place.DOMAIN)
def zero_of_numerator_excluded(conditions: tuple[Condition, ...], above: Coefficients) -> Choices:
    """Leaves the zeros of the numerator out of the domain."""
    excluded = Condition("nonzero", above)
    others = tuple(one for one in conditions if one.kind != "nonzero")
    return Choices(((*conditions, excluded), (*others, excluded)))
