"""Errors with inequalities in one unknown."""

from __future__ import annotations

from pipeline.exact.numbers import Surd
from pipeline.exact.values import Region
from pipeline.patterns.rearranging import constant_moved_same_sign
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.absolute_value import ABSOLUTE
from pipeline.procedures.inequalities import (
    CHAIN,
    LINEAR,
    QUADRATIC_INEQUALITY,
    carry_to_ends,
    divide_ends,
    report_region,
    turn_sign,
)
from pipeline.procedures.operations import Roots
from pipeline.procedures.sign_charts import TURNED, Regional, closed_ends
from pipeline.procedures.walk import Choices

_SKILL = "inequalities"


@pattern(
    "inequality-sign-not-turned",
    skill=_SKILL,
    source="OpenStax Intermediate Algebra 2e, 2.5 (caution); El-khateeb 2016",
    shows=(
        "solve | -3x < 12 | x < -4",
        "solve | 5 - 2x >= 11 | x >= -3",
        "solve | -2|x| > -8 | x < -4 or x > 4",
    ),
    silent=(
        "solve | -3x < 12 | x > -4",
        "solve | 3x < -12 | x > -4",
        "solve | -3x < 12 | x < 4",
    ),
)
@instead_of(turn_sign, LINEAR, QUADRATIC_INEQUALITY, ABSOLUTE)
def inequality_sign_not_turned(sign: str, divisor: Surd, right: Surd) -> str:
    """Divides both sides by a negative number and leaves the inequality sign as it is."""
    return sign


@pattern(
    "inequality-sign-turned-needlessly",
    skill=_SKILL,
    source="from memory",
    shows=(
        "solve | 3x < -12 | x > -4",
        "solve | 2x - 1 <= -9 | x >= -4",
    ),
    silent=(
        "solve | 3x < -12 | x < -4",
        "solve | -3x < 12 | x < -4",
        "solve | 3x < 12 | x > 4",
    ),
)
@instead_of(turn_sign, LINEAR)
def inequality_sign_turned_needlessly(sign: str, divisor: Surd, right: Surd) -> str | None:
    """Turns the inequality sign because a negative number occurs, not because one divides by it."""
    needless = divisor.real_sign() > 0 and right.real_sign() < 0
    return TURNED[sign] if needless else None


@pattern(
    "inequality-answered-as-equation",
    skill=_SKILL,
    source="Makonye and Shingirayi 2014; South African examiners' comments, November 2024",
    shows=(
        "solve | x^2 - x - 6 > 0 | x = 3, x = -2",
        "solve | 2x + 1 < 9 | x = 4",
        "solve | |x - 1| < 3 | 4, -2",
    ),
    silent=(
        "solve | x^2 - x - 6 > 0 | x < -2 or x > 3",
        "solve | 2x + 1 < 9 | x = 5",
    ),
)
@instead_of(report_region)
def inequality_answered_as_equation(region: Regional, boundaries: Roots) -> Roots | None:
    """Gives the solutions of the equation in place of those of the inequality."""
    return boundaries or None


@pattern(
    "endpoint-wrongly-left-out",
    skill=_SKILL,
    source="OpenStax Intermediate Algebra 2e, 7.6 (caution); from memory",
    shows=(
        "solve | x^2 - 4 <= 0 | (-2, 2)",
        "solve | 2x >= 8 | x > 4",
    ),
    silent=(
        "solve | x^2 - 4 <= 0 | [-2, 2]",
        "solve | 2x > 8 | x >= 4",
    ),
)
@instead_of(report_region)
def endpoint_wrongly_left_out(region: Regional, boundaries: Roots) -> Regional:
    """Leaves out the ends of the solution set although they are solutions."""
    return closed_ends(region, is_open=True)


@pattern(
    "endpoint-wrongly-included",
    skill=_SKILL,
    source="OpenStax Intermediate Algebra 2e, 7.6 (caution); from memory",
    shows=(
        "solve | x^2 - 4 < 0 | [-2, 2]",
        "solve | 2x > 8 | x >= 4",
        "solve | (x + 1)/(x - 3) >= 0 | x <= -1 or x >= 3",
    ),
    silent=(
        "solve | x^2 - 4 < 0 | (-2, 2)",
        "solve | 2x >= 8 | x > 4",
    ),
)
@instead_of(report_region)
def endpoint_wrongly_included(region: Regional, boundaries: Roots) -> Regional:
    """Includes the ends of the solution set although they are no solutions."""
    return closed_ends(region, is_open=False)


@pattern(
    "one-of-two-rays-left-out",
    skill=_SKILL,
    source="common practice",
    shows=(
        "solve | x^2 - x - 6 > 0 | x > 3",
        "solve | |x - 1| >= 4 | x <= -3",
    ),
    silent=(
        "solve | x^2 - x - 6 > 0 | x > 2",
        "solve | |x - 1| >= 4 | x >= 3",
    ),
)
@instead_of(report_region)
def one_of_two_rays_left_out(region: Regional, boundaries: Roots) -> Choices | None:
    """Gives only one of the two parts of the solution set."""
    if not isinstance(region, Region) or len(region.parts) != 2:
        return None
    return Choices(Region((part,)) for part in region.parts)


@pattern(
    "end-of-chain-left-unchanged",
    skill=_SKILL,
    source="common practice",
    shows=(
        "solve | -3 < 2x + 1 <= 7 | -3/2 < x <= 3",
        "solve | 1 < x + 4 < 9 | -3 < x < 9",
    ),
    silent=(
        "solve | -3 < 2x + 1 <= 7 | -2 < x <= 3",
        "solve | -3 < 2x + 1 <= 7 | -2 <= x < 3",
    ),
)
@instead_of(carry_to_ends, CHAIN)
def end_of_chain_left_unchanged(low: Surd, high: Surd, q: Surd) -> Choices:
    """Does to the middle and to one end what has to be done to both ends."""
    return Choices(((low, high - q), (low - q, high)))


@end_of_chain_left_unchanged.also(divide_ends, CHAIN)
def _one_end_divided(low: Surd, high: Surd, p: Surd) -> Choices:
    return Choices(((low, high / p), (low / p, high)))


@constant_moved_same_sign.also(carry_to_ends, CHAIN)
def _to_both_ends_with_its_sign(low: Surd, high: Surd, q: Surd) -> tuple[Surd, Surd]:
    return low + q, high + q
