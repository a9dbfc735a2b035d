"""Errors in choosing the region of a quadratic or rational inequality."""

from __future__ import annotations

from pipeline.exact.numbers import Surd
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.inequalities import (
    QUADRATIC_INEQUALITY,
    SIGNS,
    SignedFraction,
    choose_region,
    clear_denominator,
)
from pipeline.procedures.sign_charts import (
    TURNED,
    Regional,
    between,
    outside,
    part_of_line,
    ray,
    region_where,
)
from pipeline.procedures.statements import ALL_REAL, NO_SOLUTION
from pipeline.procedures.walk import Choices

_SKILL = "inequalities"


@pattern(
    "between-and-outside-swapped",
    skill=_SKILL,
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
@instead_of(choose_region, QUADRATIC_INEQUALITY)
def between_and_outside_swapped(
    roots: tuple[Surd, ...], sign: str, written: str
) -> Regional | None:
    """Answers with the numbers between the boundaries instead of those outside, or the reverse."""
    if len(roots) != 2:
        return None
    choose = outside if sign[0] == "<" else between
    return part_of_line(choose(roots[0], roots[1], "=" not in sign))


@pattern(
    "each-factor-signed-like-product",
    skill=_SKILL,
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
@instead_of(choose_region, QUADRATIC_INEQUALITY)
def each_factor_signed_like_product(
    roots: tuple[Surd, ...], sign: str, written: str
) -> Choices | None:
    """Gives each factor the same inequality sign as the product."""
    if len(roots) != 2 or written:
        return None
    return Choices(ray(sign, one) for one in roots)


@pattern(
    "root-taken-across-inequality",
    skill=_SKILL,
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
@instead_of(choose_region, QUADRATIC_INEQUALITY)
def root_taken_across_inequality(
    roots: tuple[Surd, ...], sign: str, written: str
) -> Choices | None:
    """Takes the root on both sides of an inequality as if it were an equation."""
    if len(roots) != 2 or written != "square":
        return None
    return Choices(ray(sign, one) for one in roots)


@pattern(
    "rootless-inequality-misjudged",
    skill=_SKILL,
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
@instead_of(choose_region, QUADRATIC_INEQUALITY)
def rootless_inequality_misjudged(
    roots: tuple[Surd, ...], sign: str, written: str
) -> Regional | None:
    """Finds no roots and draws the wrong conclusion: none for all, or all for none."""
    if roots:
        return None
    return NO_SOLUTION if sign[0] == ">" else ALL_REAL


@pattern(
    "multiplied-by-unknown-sign",
    skill=_SKILL,
    source="D. G. Denbel; Tsamir and Bazzini (from memory)",
    shows=(
        "solve | 1/x < 2 | x > 1/2",
        "solve | (x + 1)/(x - 3) >= 0 | x >= -1",
    ),
    silent=(
        "solve | 1/x < 2 | x < 0 or x > 1/2",
        "solve | 1/x < 2 | x < 1/2",
    ),
)
@instead_of(clear_denominator, SIGNS)
def multiplied_by_unknown_sign(start: SignedFraction) -> Regional | None:
    """Multiplies an inequality by an expression without asking whether it is negative."""
    if len(start.below) < 2:
        return None
    return region_where(start.above, (Surd.of(1),), start.sign)


@pattern(
    "signs-of-intervals-swapped",
    skill=_SKILL,
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
@instead_of(clear_denominator, SIGNS)
def signs_of_intervals_swapped(start: SignedFraction) -> Regional:
    """Chooses the intervals in which the expression has the other sign."""
    return region_where(start.above, start.below, TURNED[start.sign])
