"""Errors with absolute values in equations and inequalities."""

from __future__ import annotations

from pipeline.exact.numbers import Surd
from pipeline.exact.regions import EMPTY_SET, WHOLE_LINE
from pipeline.exact.values import Region
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.absolute_value import (
    Bars,
    drop_bars,
    first_case,
    may_be_negative,
    report_cases,
    second_case,
    split_bars,
    where_not_negative,
)
from pipeline.procedures.equations import ONE, Linear
from pipeline.procedures.inequalities import ray
from pipeline.procedures.operations import Roots
from pipeline.procedures.walk import Choices, Place


@pattern(
    source="common practice",
    shows=(
        "solve | |x - 3| = 5 | 8",
        "solve | 2|3x - 1| + 4 = 10 | x = 4/3",
        "solve | |x - 1| < 3 | x < 4",
    ),
    silent=(
        "solve | |x - 3| = 5 | 8, -2",
        "solve | |x - 3| = 5 | 2",
    ),
)
@instead_of(report_cases, Place.ABSOLUTE_VALUE)
def second_case_left_out(roots: tuple[Surd | None, ...]) -> Roots | None:
    """Solves only the case in which what stands between the bars is positive."""
    return None if len(roots) < 2 or roots[0] is None else frozenset({roots[0]})


@second_case_left_out.also(split_bars, Place.ABSOLUTE_VALUE)
def _one_ray(inside: Linear, sign: str, right: Surd) -> Region:
    turned = {"<": ">", ">": "<", "<=": ">=", ">=": "<="}
    upward = inside.p.real_sign() > 0
    return ray(sign if upward else turned[sign], (right - inside.q) / inside.p)


@pattern(
    source="common practice",
    shows=(
        "solve | |x - 3| = 5 | 8, -8",
        "solve | |2x + 1| = 7 | 3, -3",
    ),
    silent=(
        "solve | |x - 3| = 5 | 8, -2",
        "solve | |x| = 5 | 5, -5",
    ),
)
@instead_of(second_case, Place.ABSOLUTE_VALUE)
def second_case_negates_the_answer(inside: Linear, right: Linear) -> Surd | None:
    """Takes the opposite of the first answer instead of solving the second case."""
    one = first_case(inside, right)
    return None if one is None or not inside.q else -one


@pattern(
    source="OpenStax Elementary Algebra 2e, 1.9 (caution); Anderson 1982 (kind of error)",
    shows=(
        "solve | |2x - 1| = x + 4 | 5, 5/3",
        "solve | |x - 6| = 2x + 3 | 3",
    ),
    silent=(
        "solve | |2x - 1| = x + 4 | 5, -1",
        "solve | |2x - 1| = 5 | 3, -2",
    ),
)
@instead_of(second_case, Place.ABSOLUTE_VALUE)
def right_side_not_negated_fully(inside: Linear, right: Linear) -> Surd | None:
    """Changes only the first sign of the other side in the second case."""
    return first_case(inside, Linear(-right.p, right.q)) if right.p and right.q else None


@pattern(
    source="common practice",
    shows=(
        "solve | 2|3x - 1| + 4 = 10 | 4/3, -2",
        "solve | |x| + 3 = 7 | 4, -10",
    ),
    silent=(
        "solve | 2|3x - 1| + 4 = 10 | 4/3, -2/3",
        "solve | |x - 3| = 7 | 10, -4",
    ),
)
@instead_of(drop_bars, Place.ABSOLUTE_VALUE)
def bars_split_before_isolating(start: Bars) -> Roots | None:
    """Writes the two cases before the absolute value stands alone."""
    if start.both or start.right.p or not start.m:
        return None
    right = start.right.q
    return frozenset(
        ((side * right - start.m) / start.k - start.inside.q) / start.inside.p
        for side in (ONE, -ONE)
    )


@pattern(
    source="common practice",
    shows=(
        "solve | |x - 3| = 5 | 2",
        "solve | |2x - 7| = 11 | x = 2",
    ),
    silent=(
        "solve | |x - 3| = 5 | 8",
        "solve | |x + 3| = 5 | 2",
    ),
)
@instead_of(drop_bars, Place.ABSOLUTE_VALUE)
def bars_make_every_term_positive(start: Bars) -> Choices | None:
    """Reads the bars as making each term between them positive: |x - 3| as x + 3."""
    p, q = start.inside
    if start.both or start.right.p or q.real_sign() >= 0 or p.real_sign() < 0:
        return None
    right = (start.right.q - start.m) / start.k
    one = (right + q) / p
    return Choices((frozenset({one}), frozenset({one, -one})))


@pattern(
    source="common practice",
    shows=(
        "solve | |x + 2| = -3 | -5, 1",
        "solve | |x| + 7 = 4 | 3, -3",
    ),
    silent=(
        "solve | |x + 2| = -3 | no solution",
        "solve | |x + 2| = 3 | -5, 1",
    ),
)
@instead_of(may_be_negative, Place.ABSOLUTE_VALUE)
def negative_absolute_value_solved(right: Surd) -> bool | None:
    """Solves although an absolute value cannot be negative."""
    return True if right.real_sign() < 0 else None


@negative_absolute_value_solved.also(
    split_bars,
    shows=("solve | |x| < -2 | -2 < x < 2", "solve | |x - 1| < -4 | -3 < x < 5"),
    silent=("solve | |x| < -2 | no solution", "solve | |x| < 2 | no solution"),
)
def _below_a_negative_number(inside: Linear, sign: str, right: Surd) -> Choices | None:
    """Solves although an absolute value cannot be less than a negative number."""
    if right.real_sign() >= 0 or sign[0] != "<":
        return None
    return Choices(split_bars(inside, one, -right) for one in (sign, sign.replace("<", ">")))


@pattern(
    source="common practice",
    shows=(
        "solve | |x - 1| < 3 | x < -2",
        "solve | |x - 1| > 3 | x > -2",
    ),
    silent=(
        "solve | |x - 1| < 3 | -2 < x < 4",
        "solve | |x - 1| < 3 | x < 2",
    ),
)
@instead_of(split_bars, Place.ABSOLUTE_VALUE)
def second_case_keeps_inequality_sign(inside: Linear, sign: str, right: Surd) -> Region | None:
    """Uses the same inequality sign in both cases."""
    if right.real_sign() <= 0:
        return None
    ends = ((-right - inside.q) / inside.p, (right - inside.q) / inside.p)
    return ray(sign, min(ends))


@pattern(
    source="common practice",
    shows=(
        "solve | |x| > -1 | no solution",
        "solve | |2x - 5| + 4 >= 1 | no solution",
    ),
    silent=(
        "solve | |x| > -1 | all real numbers",
        "solve | |x| < -1 | no solution",
    ),
)
@instead_of(split_bars, Place.ABSOLUTE_VALUE)
def negative_bound_always_impossible(inside: Linear, sign: str, right: Surd) -> Region | None:
    """Says that nothing solves an absolute value greater than a negative number."""
    return EMPTY_SET if right.real_sign() < 0 and sign[0] == ">" else None


@pattern(
    source="common practice",
    shows=(
        "solve | |x - 2| = x - 2 | all real numbers",
        "solve | |3 - x| = x - 3 | all real numbers",
    ),
    silent=(
        "solve | |x - 2| = x - 2 | x >= 2",
        "solve | |x - 2| = x - 2 | 2",
    ),
)
@instead_of(where_not_negative, Place.ABSOLUTE_VALUE)
def condition_of_bars_overlooked(right: Linear) -> Region:
    """Takes an equation that holds where its right side is not negative to hold everywhere."""
    return WHOLE_LINE


@pattern(
    source="common practice",
    shows=(
        "solve | |x - 2| = x - 2 | 2",
        "solve | |2x + 6| = 2x + 6 | -3",
    ),
    silent=(
        "solve | |x - 2| = x - 2 | x >= 2",
        "solve | |x - 2| = 2 | 4",
    ),
)
@instead_of(where_not_negative, Place.ABSOLUTE_VALUE)
def boundary_of_bars_given_alone(right: Linear) -> Roots:
    """Gives the number where the bars hold zero as the only solution."""
    return frozenset({-right.q / right.p})
