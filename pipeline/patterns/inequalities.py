"""Errors with inequalities in one unknown."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import replace

from pipeline.exact.numbers import Surd
from pipeline.exact.regions import EMPTY_SET, WHOLE_LINE, complement
from pipeline.exact.trees import TURNED
from pipeline.exact.values import Region
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.absolute_value import split_bars
from pipeline.procedures.equations import Linear
from pipeline.procedures.inequalities import (
    SignedFraction,
    between,
    carry_to_ends,
    choose_region,
    clear_denominator,
    closed_ends,
    divide_ends,
    outside,
    ray,
    region_where,
    report_region,
    turn_sign,
)
from pipeline.procedures.operations import Roots
from pipeline.procedures.shapes_of_inequalities import combine
from pipeline.procedures.solving_for import state_sign
from pipeline.procedures.walk import Choices, Place
from pipeline.procedures.word_problems import is_in, pick_offered
from pipeline.tasks.domain import Condition, boundary


@pattern(
    source="from memory",
    shows=(
        "solve | x^2 - x - 6 > 0 | -2 < x < 3",
        "solve | x^2 + 2x - 8 <= 0 | x <= -4 or x >= 2",
        "solve | |x| > 3 | -3 < x < 3",
    ),
    silent=(
        "solve | x^2 - x - 6 > 0 | x < -2 or x > 3",
        "solve | x^2 - x - 6 > 0 | -3 < x < 2",
    ),
)
@instead_of(choose_region, Place.QUADRATIC_INEQUALITY)
def between_and_outside_swapped(roots: tuple[Surd, ...], sign: str, written: str) -> Region | None:
    """Answers with the numbers between the boundaries instead of those outside, or the reverse."""
    if len(roots) != 2:
        return None
    choose = outside if sign[0] == "<" else between
    return choose(roots[0], roots[1], "=" not in sign)


@between_and_outside_swapped.also(split_bars, Place.ABSOLUTE_VALUE)
def _bars_read_the_other_way(inside: Linear, sign: str, right: Surd) -> Region | None:
    if right.real_sign() <= 0:
        return None
    low, high = sorted(((-right - inside.q) / inside.p, (right - inside.q) / inside.p))
    choose = outside if sign[0] == "<" else between
    return choose(low, high, "=" not in sign)


@between_and_outside_swapped.also(
    combine,
    Place.COMPOUND_INEQUALITY,
    shows=("solve | x < 5 and x > 1 | x < 1 or x > 5", "solve | x > 3 or x < -2 | -2 < x < 3"),
    silent=("solve | x < 5 and x > 1 | 1 < x < 5", "solve | x < 5 or x > 1 | no solution"),
)
def _joined_the_other_way(regions: tuple[Region, ...], either: bool) -> Region | None:
    right = combine(regions, either)
    ends = [one for part in right.parts for one in (part.low, part.high) if one is not None]
    is_open = all(part.left_open and part.right_open for part in right.parts)
    return closed_ends(complement(right), is_open) if len(ends) == 2 else None


@pattern(
    source="an Algebra 1 coach's page on inequalities",
    shows=(
        "solve | (x + 2)(x - 5) > 0 | x > -2 and x > 5",
        "solve | (x + 2)(x - 5) > 0 | x > -2",
        "solve | x^2 - x - 6 < 0 | x < -2 and x < 3",
    ),
    silent=(
        "solve | (x + 2)(x - 5) > 0 | x < -2 or x > 5",
        "solve | (x + 2)(x - 5) > 0 | x > 2",
    ),
)
@instead_of(choose_region, Place.QUADRATIC_INEQUALITY)
def each_factor_signed_like_product(
    roots: tuple[Surd, ...], sign: str, written: str
) -> Choices | None:
    """Gives each factor the same inequality sign as the product."""
    if len(roots) != 2 or written:
        return None
    return Choices(ray(sign, one) for one in roots)


@pattern(
    source="Makonye and Shingirayi 2014; Tsamir and Almog 2001 (from memory)",
    shows=(
        "solve | x^2 < 9 | x < 3",
        "solve | x^2 >= 16 | x >= 4",
        "solve | x^2 > 5 | x > -sqrt(5)",
    ),
    silent=(
        "solve | x^2 < 9 | -3 < x < 3",
        "solve | x^2 < 9 | x < 9",
    ),
)
@instead_of(choose_region, Place.QUADRATIC_INEQUALITY)
def root_taken_across_inequality(
    roots: tuple[Surd, ...], sign: str, written: str
) -> Choices | None:
    """Takes the root on both sides of an inequality as if it were an equation."""
    if len(roots) != 2 or written != "square":
        return None
    return Choices(ray(sign, one) for one in roots)


@pattern(
    source="common practice",
    shows=(
        "solve | x^2 + 3 > 0 | no solution",
        "solve | x^2 - 2x + 5 < 0 | all real numbers",
    ),
    silent=(
        "solve | x^2 + 3 > 0 | all real numbers",
        "solve | x^2 - 2x - 5 < 0 | all real numbers",
    ),
)
@instead_of(choose_region, Place.QUADRATIC_INEQUALITY)
def rootless_inequality_misjudged(
    roots: tuple[Surd, ...], sign: str, written: str
) -> Region | None:
    """Finds no roots and draws the wrong conclusion: none for all, or all for none."""
    if roots:
        return None
    return EMPTY_SET if sign[0] == ">" else WHOLE_LINE


@rootless_inequality_misjudged.also(
    split_bars,
    Place.ABSOLUTE_VALUE,
    shows=("solve | |x + 2| < -1 | all real numbers",),
    silent=("solve | |x + 2| < -1 | no solution", "solve | |x + 2| > -1 | all real numbers"),
)
def _never_taken_for_always(inside: Linear, sign: str, right: Surd) -> Region | None:
    return WHOLE_LINE if right.real_sign() < 0 and sign[0] == "<" else None


@pattern(
    source="Denbel; Tsamir and Bazzini (from memory)",
    shows=(
        "solve | 1/x < 2 | x > 1/2",
        "solve | (x + 1)/(x - 3) >= 0 | x >= -1",
    ),
    silent=(
        "solve | 1/x < 2 | x < 0 or x > 1/2",
        "solve | 1/x < 2 | x < 1/2",
    ),
)
@instead_of(clear_denominator, Place.SIGN_CHART)
def multiplied_by_unknown_sign(start: SignedFraction) -> Region | None:
    """Multiplies an inequality by an expression without asking whether it is negative."""
    if len(start.below) < 2:
        return None
    return region_where(start.above, (Surd.of(1),), start.sign)


@pattern(
    source="common practice",
    shows=(
        "solve | x^3 - 4x > 0 | x < -2 or 0 < x < 2",
        "solve | (x + 1)/(x - 3) > 0 | -1 < x < 3",
    ),
    silent=(
        "solve | x^3 - 4x > 0 | -2 < x < 0 or x > 2",
        "solve | x^3 - 4x > 0 | x > 2",
    ),
)
@instead_of(clear_denominator, Place.SIGN_CHART)
def signs_of_intervals_swapped(start: SignedFraction) -> Region:
    """Chooses the intervals in which the expression has the other sign."""
    return region_where(start.above, start.below, TURNED[start.sign])


@pattern(
    source="OpenStax Intermediate Algebra 2e, 2.6 (related: the distinction); common practice",
    shows=(
        "solve | 2x + 1 > 5 and x - 3 > 4 | x > 2",
        "solve | x + 1 <= 4 and 3x < 6 | x <= 3",
    ),
    silent=(
        "solve | 2x + 1 > 5 and x - 3 > 4 | x > 7",
        "solve | 2x + 1 > 5 or x - 3 > 4 | x > 2",
    ),
)
@instead_of(combine, Place.COMPOUND_INEQUALITY)
def and_taken_for_or(regions: tuple[Region, ...], either: bool) -> Region | None:
    """Takes the numbers for which one inequality holds, where both have to hold."""
    return None if either else combine(regions, True)


@and_taken_for_or.also(
    choose_region,
    Place.QUADRATIC_INEQUALITY,
    shows=("solve | x^2 < 9 | x > -3 or x < 3", "solve | |2x - 1| <= 7 | x >= -3 or x <= 4"),
    silent=("solve | x^2 < 9 | x < -3 or x > 3", "solve | |x| <= 0 | all real numbers"),
)
def _either_side_of_boundaries(roots: tuple[Surd, ...], sign: str, written: str) -> Region | None:
    return WHOLE_LINE if len(roots) == 2 and sign[0] == "<" and written == "square" else None


@and_taken_for_or.also(split_bars, Place.ABSOLUTE_VALUE)
def _either_case(inside: Linear, sign: str, right: Surd) -> Region | None:
    return WHOLE_LINE if right.real_sign() > 0 and sign[0] == "<" else None


@and_taken_for_or.also(
    report_region,
    Place.CHAIN,
    shows=("solve | -3 <= 2x + 1 < 7 | x >= -2 or x < 3",),
    silent=("solve | -3 <= 2x + 1 < 7 | x >= -2 and x < 3",),
)
def _either_end(region: Region, boundaries: frozenset[Surd]) -> Region:
    return WHOLE_LINE


@pattern(
    source="OpenStax Intermediate Algebra 2e, 2.6 (related: the distinction); common practice",
    shows=(
        "solve | 2x + 1 > 5 or x - 3 > 4 | x > 7",
        "solve | x + 1 < 4 or x - 1 > 5 | no solution",
        "solve | |2x - 1| >= 5 | -2 >= x >= 3",
        "solve | x^2 - x - 6 > 0 | 3 < x < -2",
    ),
    silent=(
        "solve | 2x + 1 > 5 or x - 3 > 4 | x > 2",
        "solve | 2x + 1 > 5 and x - 3 > 4 | x > 7",
    ),
)
@instead_of(combine, Place.COMPOUND_INEQUALITY)
def or_taken_for_and(regions: tuple[Region, ...], either: bool) -> Region | None:
    """Takes the numbers for which both inequalities hold, where one of them is enough."""
    return combine(regions, False) if either else None


@or_taken_for_and.also(choose_region, Place.QUADRATIC_INEQUALITY)
def _both_sides_of_boundaries(roots: tuple[Surd, ...], sign: str, written: str) -> Region | None:
    return EMPTY_SET if len(roots) == 2 and sign[0] == ">" else None


@or_taken_for_and.also(split_bars, Place.ABSOLUTE_VALUE)
def _both_cases_at_once(inside: Linear, sign: str, right: Surd) -> Region | None:
    return EMPTY_SET if right.real_sign() > 0 and sign[0] == ">" else None


@pattern(
    source="common practice",
    shows=(
        "solve | 2x + 1 > 3 and x - 4 < 2 | x > 1",
        "solve | x + 1 < 4 or x - 1 > 5 | x > 6",
    ),
    silent=(
        "solve | 2x + 1 > 3 and x - 4 < 2 | 1 < x < 6",
        "solve | x + 1 < 4 or x - 1 > 5 | x < 3 or x > 6",
    ),
)
@instead_of(combine, Place.COMPOUND_INEQUALITY)
def one_inequality_left_out(regions: tuple[Region, ...], either: bool) -> Choices:
    """Gives the solutions of one of the inequalities and leaves the other out."""
    return Choices(regions)


@pattern(
    source="OpenStax Intermediate Algebra 2e, 2.5 (caution); El-khateeb 2016 (kind of error)",
    shows=(
        "solve | -3x < 12 | x < -4",
        "solve | 5 - 2x >= 11 | x >= -3",
        "solve | -2|x| > -8 | x < -4 or x > 4",
        "solve | -2 < 4 - 3x <= 10 | 2 < x <= -2",
    ),
    silent=(
        "solve | -3x < 12 | x > -4",
        "solve | 3x < -12 | x > -4",
        "solve | -3x < 12 | x < 4",
    ),
)
@instead_of(
    turn_sign,
    Place.LINEAR_INEQUALITY,
    Place.QUADRATIC_INEQUALITY,
    Place.ABSOLUTE_VALUE,
    Place.CHAIN,
)
def inequality_sign_not_turned(sign: str, divisor: Surd, least: Surd) -> str:
    """Divides both sides by a negative number and leaves the inequality sign as it is."""
    return sign


@inequality_sign_not_turned.also(
    boundary,
    Place.DOMAIN,
    shows=(
        "domain | sqrt(6 - 2x) | x >= 3",
        "domain | log(5 - x) | x > 5",
    ),
    silent=("domain | sqrt(6 - 2x) | x <= 3",),
)
def _not_turned(condition: Condition) -> Region | None:
    inside = condition.inside
    if condition.kind == "nonzero" or len(inside) != 2 or inside[1].real_sign() > 0:
        return None
    return ray(">" if condition.kind == "positive" else ">=", -inside[0] / inside[1])


@pattern(
    source="from memory",
    shows=(
        "solve | 3x < -12 | x > -4",
        "solve | 2x - 1 <= -9 | x >= -4",
        "solve | 2x - 3 < 7 | x > 5",
    ),
    silent=(
        "solve | 3x < -12 | x < -4",
        "solve | -3x < 12 | x < -4",
        "solve | 3x < 12 | x > 4",
    ),
)
@instead_of(turn_sign, Place.LINEAR_INEQUALITY)
def inequality_sign_turned_needlessly(sign: str, divisor: Surd, least: Surd) -> str | None:
    """Turns the inequality sign because a negative number occurs, not because one divides by it."""
    needless = divisor.real_sign() > 0 and least.real_sign() < 0
    return TURNED[sign] if needless else None


@pattern(
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
def inequality_answered_as_equation(region: Region, boundaries: Roots) -> Roots | None:
    """Gives the solutions of the equation in place of those of the inequality."""
    return boundaries or None


@pattern(
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
def endpoint_wrongly_left_out(region: Region, boundaries: Roots) -> Region:
    """Leaves out the ends of the solution set although they are solutions."""
    return closed_ends(region, is_open=True)


@endpoint_wrongly_left_out.also(
    state_sign,
    Place.FORMULA,
    shows=("solve | 3x - 2y >= 6 for y | y < (3/2)x - 3", "solve | x + y <= 4 for y | y < 4 - x"),
    silent=("solve | 3x - 2y >= 6 for y | y <= (3/2)x - 3",),
)
def _boundary_left_out(sign: str) -> str:
    return sign[0]


@pattern(
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
def endpoint_wrongly_included(region: Region, boundaries: Roots) -> Region:
    """Includes the ends of the solution set although they are no solutions."""
    return closed_ends(region, is_open=False)


@pattern(
    source="common practice",
    shows=(
        "solve | 1 <= 5 - 2x < 9 | -2 <= x < 2",
        "solve | -3 < 1 - x <= 4 | -3 < x <= 4",
    ),
    silent=(
        "solve | 1 <= 5 - 2x < 9 | -2 < x <= 2",
        "solve | 1 < 5 - 2x < 9 | -2 <= x < 2",
    ),
)
@instead_of(report_region, Place.CHAIN)
def ends_of_chain_exchanged_without_their_signs(region: Region, boundaries: Roots) -> Region | None:
    """Exchanges the ends of a chain and leaves the signs that say whether they belong to it."""
    if len(region.parts) != 1:
        return None
    (part,) = region.parts
    turned = replace(part, left_open=part.right_open, right_open=part.left_open)
    return Region((turned,)) if turned != part else None


@endpoint_wrongly_included.also(
    state_sign,
    Place.FORMULA,
    shows=("solve | n + o > 6 for o | o >= 6 - n", "solve | 2x - y < 4 for y | y >= 2x - 4"),
    silent=("solve | n + o > 6 for o | o > 6 - n",),
)
def _boundary_included(sign: str) -> str:
    return f"{sign[0]}="


@pattern(
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
def one_of_two_rays_left_out(region: Region, boundaries: Roots) -> Choices | None:
    """Gives only one of the two parts of the solution set."""
    if len(region.parts) != 2:
        return None
    return Choices(Region((part,)) for part in region.parts)


@pattern(
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
@instead_of(carry_to_ends, Place.CHAIN)
def end_of_chain_left_unchanged(low: Surd, high: Surd, q: Surd) -> Choices:
    """Does to the middle and to one end what has to be done to both ends."""
    return Choices(((low, high - q), (low - q, high)))


@end_of_chain_left_unchanged.also(divide_ends, Place.CHAIN)
def _one_end_divided(low: Surd, high: Surd, p: Surd) -> Choices:
    return Choices(((low, high / p), (low / p, high)))


@pattern(
    source="an Algebra 1 coach's page on inequalities",
    shows=(
        "solve | 4x + 3 > 11; choose from 0, 1, 2, 3 | 2",
        "solve | -2x < 6, choose from -4, -3, -2, 0 | -3",
    ),
    silent=(
        "solve | 4x + 3 > 11; choose from 0, 1, 2, 3 | 3",
        "solve | 4x + 3 > 11; choose from 0, 1, 2, 3 | 0, 1",
        "solve | 4x + 3 >= 11; choose from 0, 1, 2, 3 | 2",
    ),
)
@instead_of(pick_offered, Place.OFFER)
def boundary_picked_as_solution(solution: Hashable, offered: tuple[Surd, ...]) -> Choices | None:
    """Picks the boundary itself, where an inequality leaves it out."""
    if not isinstance(solution, Region):
        return None
    ends = {end.surd for part in solution.parts for end in (part.low, part.high) if end is not None}
    return Choices(frozenset({one}) for one in offered if one in ends and not is_in(one, solution))


@pattern(
    source="common practice",
    shows=(
        "solve | 4x + 3 > 11; choose from 0, 1, 2, 3 | 0, 1, 2",
        "solve | 3x - 1 <= 5; choose from 1, 2, 3, 4 | 3, 4",
    ),
    silent=(
        "solve | 4x + 3 > 11; choose from 0, 1, 2, 3 | 3",
        "solve | 4x + 3 > 11; choose from 0, 1, 2, 3 | 2",
    ),
)
@instead_of(pick_offered, Place.OFFER)
def solutions_and_others_swapped(
    solution: Hashable, offered: tuple[Surd, ...]
) -> frozenset[Surd] | None:
    """Picks the numbers that do not solve an inequality."""
    rest = frozenset(offered) - pick_offered(solution, offered)
    return rest or None
