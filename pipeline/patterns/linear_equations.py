"""Errors in solving linear equations."""

from __future__ import annotations

from pipeline.exact.numbers import Surd
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.equations import ONE
from pipeline.procedures.operations import carry_unknown, distribute, divide, start_isolating
from pipeline.procedures.walk import Choices

_SKILL = "linear equations"
_PLACE = "linear equation"


@pattern(
    "coefficient-subtracted",
    skill=_SKILL,
    source="T. L. Scofield 2003, list of codes; Sleeman 1984 (from memory)",
    shows=(
        "solve | 4x + 3 = 9 | 2",
        "solve | 5x = 20 | x = 15",
    ),
    silent=(
        "solve | 5x = 20 | 4",
        "solve | x + 5 = 20 | 15",
    ),
)
@instead_of(divide, _PLACE)
def coefficient_subtracted(right: Surd, a: Surd) -> Surd | None:
    """Undoes a multiplication by subtracting the number before the unknown."""
    return right - a if a != 1 else None


@pattern(
    "coefficient-not-divided-off",
    skill=_SKILL,
    source="common practice",
    shows=(
        "solve | 2x + 3 = 11 | 8",
        "solve | 3x - 5 = 16 | x = 21",
    ),
    silent=(
        "solve | 2x + 3 = 11 | 4",
        "solve | x + 3 = 11 | 8",
    ),
)
@instead_of(divide, _PLACE)
def coefficient_not_divided_off(right: Surd, a: Surd) -> Surd | None:
    """Gives what a multiple of the unknown equals for the unknown itself."""
    return right if a not in (ONE, -ONE) else None


@pattern(
    "divided-upside-down",
    skill=_SKILL,
    source="Hall 2002; Larino 2018",
    shows=(
        "solve | 4x + 4 = 18 | x=2/7",
        "solve | 4x = 3 | 4/3",
    ),
    silent=(
        "solve | 4x = 3 | 3/4",
        "solve | 4x + 4 = 18 | x=7/2",
    ),
)
@instead_of(divide, _PLACE)
def divided_upside_down(right: Surd, a: Surd) -> Surd | None:
    """Divides the wrong way round: from 4x = 3 takes x = 4/3."""
    return a / right if a != 1 else None


@pattern(
    "divided-one-term-only",
    skill=_SKILL,
    source="Payne and Squibb 1990 (from memory)",
    shows=(
        "solve | 7x - 11 = 15 | 92/7",
        "solve | 2x + 6 = 10 | x = -1",
    ),
    silent=(
        "solve | 2x + 6 = 10 | 2",
        "solve | 2x = 10 | 5",
    ),
)
@instead_of(start_isolating, _PLACE)
def divided_one_term_only(a: Surd, b: Surd, right: Surd) -> tuple[Surd, Surd, Surd] | None:
    """Divides one term only by the number before the unknown, and not the constant beside it."""
    return (a / a, b, right / a) if b and a != 1 else None


@pattern(
    "unknown-terms-added",
    skill=_SKILL,
    source="common practice",
    shows=(
        "solve | 4x - 12 = 2x + 11 | 23/6",
        "solve | 5x = 2x + 21 | 3",
    ),
    silent=(
        "solve | 4x - 12 = 2x + 11 | 23/2",
        "solve | 5x + 2x = 21 | 7",
    ),
)
@instead_of(carry_unknown, _PLACE)
def unknown_terms_added(here: Surd, there: Surd) -> Choices:
    """Adds the unknowns of both sides where one should be subtracted from the other."""
    return Choices((here + there, -(here + there)))


@pattern(
    "multiplied-first-term-only",
    skill="distribution",
    source="Pournara et al. 2016; Booth et al. 2014 and Payne and Squibb 1990 (both from memory)",
    shows=(
        "solve | 3(x + 7) = -12 | x=-19/3",
        "solve | 2(x + 5) = 16 | 11/2",
    ),
    silent=(
        "solve | 3(x + 7) = -12 | x=-11",
        "solve | 3x + 7 = -12 | x=-11",
    ),
)
@instead_of(distribute, _PLACE)
def multiplied_first_term_only(k: Surd, p: Surd, q: Surd) -> tuple[Surd, Surd]:
    """Multiplies only the first term in the bracket by the number in front."""
    return k * p, q
