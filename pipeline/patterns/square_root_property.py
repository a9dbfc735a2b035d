"""Errors with the square root property."""

from __future__ import annotations

from pipeline.exact.numbers import Surd
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.operations import (
    Lone,
    add_shift,
    branches,
    divide_off,
    isolate_square,
    root,
    shift_back,
)
from pipeline.procedures.walk import Choices

_SKILL = "square root property"
_ROOT = "square-root property"
_SQUARE = "completing the square"
_FORMULA = "quadratic formula"


@pattern(
    "plus-minus-dropped",
    skill=_SKILL,
    source="Mathematics Educators question 14757 (a teacher's count of one class);"
    " OpenStax College Algebra 2e, 2.5; Vaiyavutjamai and Clements 2006 (from memory)",
    shows=(
        "solve | (x - 8)^2 = 16 | x=12",
        "solve | x^2 = 11 | sqrt(11)",
        "solve | x^2 - 6x + 7 = 0 | 3 + sqrt(2)",
    ),
    silent=(
        "solve | (x - 8)^2 = 16 | x=12, x=4",
        "solve | x^2 = 11 | -sqrt(11)",
    ),
)
@instead_of(branches, _ROOT, _SQUARE, _FORMULA)
def plus_minus_dropped(value: Surd | Lone) -> tuple[Surd, ...] | None:
    """Takes the positive square root alone and leaves out the negative one."""
    return None if isinstance(value, Lone) else (value,)


@pattern(
    "square-undone-without-root",
    skill=_SKILL,
    source="a public study page",
    shows=(
        "solve | (x - 6)^2 = 38 | 44, -32",
        "solve | (x - 3)^2 = 16 | 19",
    ),
    silent=(
        "solve | (x - 3)^2 = 16 | 7, -1",
        "solve | (x - 3)^2 = 16 | 16",
    ),
)
@instead_of(root, _ROOT, _SQUARE)
def square_undone_without_root(radicand: Surd) -> Choices | None:
    """Removes the square on the left but takes no root on the right."""
    if radicand * radicand == radicand:
        return None
    return Choices((radicand, Lone(radicand)))


@pattern(
    "halved-instead-of-rooted",
    skill=_SKILL,
    source="a teacher's page on one lesson; from memory",
    shows=(
        "solve | (x + 9)^2 = 42 | 12, -30",
        "solve | x^2 = 36 | 18, -18",
    ),
    silent=(
        "solve | x^2 = 36 | 6, -6",
        "solve | x^2 = 36 | 12, -12",
    ),
)
@instead_of(root, _ROOT, _SQUARE)
def halved_instead_of_rooted(radicand: Surd) -> Choices | None:
    """Halves the right side instead of taking its square root."""
    if Surd.root_of(radicand) == radicand / 2:
        return None
    return Choices((radicand / 2, Lone(radicand / 2)))


@pattern(
    "shift-moved-same-sign",
    skill=_SKILL,
    source="from memory",
    shows=(
        "solve | (x - 3)^2 = 8 | -3 + 2sqrt(2); -3 - 2sqrt(2)",
        "solve | (x - 3)^2 = 16 | 1, -7",
    ),
    silent=(
        "solve | (x - 3)^2 = 16 | 7, -1",
        "solve | x^2 = 16 | 8, 0",
    ),
)
@instead_of(shift_back, _ROOT, _SQUARE)
def shift_moved_same_sign(shift: Surd) -> Surd:
    """Carries the number beside the unknown across the equals sign without changing its sign."""
    return shift


@pattern(
    "shift-given-both-signs",
    skill=_SKILL,
    source="from memory",
    shows=(
        "solve | (x - 3)^2 = 16 | x = ±3 ± 4",
        "solve | (x - 3)^2 = 16 | 7, -1, 1, -7",
        "solve | (x + 2)^2 = 5 | 2 + sqrt(5), 2 - sqrt(5), -2 + sqrt(5), -2 - sqrt(5)",
    ),
    silent=(
        "solve | (x - 3)^2 = 16 | 7, -1",
        "solve | (x - 3)^2 = 16 | 7, 1",
    ),
)
@instead_of(add_shift, _ROOT, _SQUARE)
def shift_given_both_signs(carried: Surd, signed: tuple[Surd, ...]) -> Choices | None:
    """Gives the number carried across both signs, as well as the root."""
    if len(signed) != 2:
        return None
    every = tuple(one + two for one in (carried, -carried) for two in signed)
    # ±3 ± 4 is read with both signs upper or both lower, where one means all four.
    linked = tuple(one * (carried + signed[0]) for one in (1, -1))
    return Choices((every, linked))


@pattern(
    "rooted-term-by-term",
    skill=_SKILL,
    source="T. L. Scofield 2003, Top Algebra Errors Made by Calculus Students;"
    " OpenStax Elementary Algebra 2e, 9.2; Matz 1980 (from memory)",
    shows=(
        "solve | x^2 + 25 = 81 | 4",
        "solve | x^2 + 16 = 25 | x=1",
    ),
    silent=(
        "solve | x^2 + 16 = 25 | 3, -3",
        "solve | x^2 = 25 | 5, -5",
    ),
)
@instead_of(isolate_square, _ROOT)
def rooted_term_by_term(scale: Surd, rest: Surd, right: Surd) -> tuple[Surd, Surd] | None:
    """Takes the square root of each term of a sum, as if x^2 + 16 = 25 were x + 4 = 5."""
    if not rest:
        return None
    below = -rest if rest.is_real and rest.real_sign() < 0 else rest
    first, second, third = Surd.root_of(scale), Surd.root_of(below), Surd.root_of(right)
    if first is None or second is None or third is None:
        return None
    if not (first.is_real and third.is_real and second.is_real):
        return None
    return first, third + (second if below != rest else -second)


@pattern(
    "rooted-before-dividing",
    skill=_SKILL,
    source="from memory",
    shows=(
        "solve | 5x^2 = 7 | 0.529, -0.529",
        "solve | 3x^2 = 12 | 2sqrt(3)/3, -2sqrt(3)/3",
    ),
    silent=(
        "solve | 5x^2 = 7 | 1.183, -1.183",
        "solve | x^2 = 7 | sqrt(7), -sqrt(7)",
    ),
)
@instead_of(divide_off, _ROOT)
def rooted_before_dividing(scale: Surd, right: Surd) -> tuple[Surd, Surd]:
    """Takes the root of the right side before dividing by the number before the square."""
    return right, scale


@pattern(
    "negative-radicand-made-positive",
    skill=_SKILL,
    source="Tall, Lima and Healy 2014; Nordlander and Nordlander 2012 (both from memory)",
    shows=(
        "solve | (x + 5)^2 = -39 | x=-5 + sqrt(39) or x=-sqrt(39) - 5",
        "solve | 3x^2 - x + 7 = 0 | 1.685, -1.352",
    ),
    silent=(
        "solve | (x + 5)^2 = -39 | no real solution",
        "solve | (x + 5)^2 = 39 | sqrt(39) - 5, -sqrt(39) - 5",
    ),
)
@instead_of(root, _ROOT, _SQUARE, _FORMULA)
def negative_radicand_made_positive(radicand: Surd) -> Surd | None:
    """Drops the minus under the root and gives real roots where there are none."""
    if not radicand.is_rational or not radicand or radicand.real_sign() > 0:
        return None
    return Surd.root_of(-radicand)


@pattern(
    "root-of-fraction-top-only",
    skill=_SKILL,
    source="common practice",
    shows=(
        "solve | (x + 2)^2 = 25/9 | -13/9, -23/9",
        "solve | x^2 = 4/25 | 2/25, -2/25",
    ),
    silent=(
        "solve | (x + 2)^2 = 25/9 | -1/3, -11/3",
        "solve | (x + 2)^2 = 25 | 3, -7",
    ),
)
@instead_of(root, _ROOT, _SQUARE, _FORMULA)
def root_of_fraction_top_only(radicand: Surd) -> Surd | None:
    """Takes the root of the numerator and leaves the denominator as it is."""
    if not radicand.is_rational or radicand.denominator == 1:
        return None
    above = Surd.root_of(radicand * radicand.denominator)
    return None if above is None else above / radicand.denominator
