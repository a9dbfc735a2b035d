"""Errors in rewriting a quadratic function into vertex form."""

from __future__ import annotations

from pipeline.exact.numbers import Surd
from pipeline.exact.trees import Node
from pipeline.patterns.completing_the_square import (
    binomial_keeps_full_coefficient,
    binomial_sign_lost,
    half_not_squared,
    squared_without_halving,
)
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.equations import ONE
from pipeline.procedures.operations import binomial_term, half, square
from pipeline.procedures.walk import Choices
from pipeline.tasks.rewrite import (
    REWRITING,
    make_up_for,
    take_out_leading,
    vertex_form,
)

_SKILL = "vertex form"


@pattern(
    "added-square-not-multiplied",
    skill=_SKILL,
    source="OpenStax Intermediate Algebra 2e, 9.7 (caution); college algebra notes in a public"
    " repository",
    shows=(
        "rewrite | y = 2x^2 + 8x + 3 | y = 2(x + 2)^2 - 1",
        "rewrite | f(x) = -3x^2 + 12x - 5 | -3(x - 2)^2 - 9",
    ),
    silent=(
        "rewrite | y = 2x^2 + 8x + 3 | y = 2(x + 2)^2 - 5",
        "rewrite | y = x^2 + 8x + 3 | y = (x + 4)^2 - 13",
    ),
)
@instead_of(make_up_for, REWRITING)
def added_square_not_multiplied(c: Surd, a: Surd, added: Surd) -> Surd | None:
    """Takes off the number added in the bracket, not times the number before the bracket."""
    return c - added if a != ONE else None


@pattern(
    "added-square-not-taken-off",
    skill=_SKILL,
    source="OpenStax Intermediate Algebra 2e, 9.7 (caution)",
    shows=(
        "rewrite | f(x) = x^2 + 6x + 5 | f(x) = (x + 3)^2 + 5",
        "rewrite | y = 2x^2 + 8x + 3 | 2(x + 2)^2 + 3",
    ),
    silent=(
        "rewrite | f(x) = x^2 + 6x + 5 | (x + 3)^2 - 4",
        "rewrite | f(x) = x^2 + 6x + 5 | (x + 3)^2 - 5",
    ),
)
@instead_of(make_up_for, REWRITING)
def added_square_not_taken_off(c: Surd, a: Surd, added: Surd) -> Surd:
    """Adds the square to one side and neither takes it off again nor adds it to the other."""
    return c


@pattern(
    "added-square-added-again",
    skill=_SKILL,
    source="common practice",
    shows=(
        "rewrite | f(x) = x^2 + 6x + 5 | (x + 3)^2 + 14",
        "rewrite | y = 2x^2 + 8x + 3 | 2(x + 2)^2 + 11",
    ),
    silent=(
        "rewrite | f(x) = x^2 + 6x + 5 | (x + 3)^2 - 4",
        "rewrite | f(x) = x^2 + 6x + 5 | (x + 3)^2 - 14",
    ),
)
@instead_of(make_up_for, REWRITING)
def added_square_added_again(c: Surd, a: Surd, added: Surd) -> Choices:
    """Adds the square to the constant as well, where it has to be taken off."""
    return Choices((c + a * added, c + added))


@pattern(
    "leading-number-taken-from-square-only",
    skill=_SKILL,
    source="common practice",
    shows=(
        "rewrite | y = 2x^2 + 8x + 3 | y = 2(x + 4)^2 - 29",
        "rewrite | y = -x^2 + 6x + 1 | -(x + 3)^2 + 10",
    ),
    silent=(
        "rewrite | y = 2x^2 + 8x + 3 | 2(x + 2)^2 - 5",
        "rewrite | y = x^2 + 8x + 3 | (x + 4)^2 - 13",
    ),
)
@instead_of(take_out_leading, REWRITING)
def leading_number_taken_from_square_only(a: Surd, b: Surd) -> Surd | None:
    """Takes the leading number out of the first term and leaves the second term as it is."""
    return b if a != ONE else None


@pattern(
    "number-before-square-lost",
    skill=_SKILL,
    source="common practice",
    shows=(
        "rewrite | y = 2x^2 + 8x + 3 | y = (x + 2)^2 - 5",
        "rewrite | y = -3x^2 + 12x - 5 | (x - 2)^2 + 7",
    ),
    silent=(
        "rewrite | y = 2x^2 + 8x + 3 | 2(x + 2)^2 - 5",
        "rewrite | y = x^2 + 8x + 3 | 2(x + 4)^2 - 13",
    ),
)
@instead_of(vertex_form, REWRITING)
def number_before_square_lost(a: Surd, term: Surd, constant: Surd, letter: str) -> Node:
    """Leaves out the number before the square."""
    return vertex_form(ONE, term, constant, letter)


@half_not_squared.also(
    square,
    REWRITING,
    shows=("rewrite | y = x^2 + 10x + 3 | (x + 5)^2 - 2",),
    silent=("rewrite | y = x^2 + 10x + 3 | (x + 5)^2 - 22",),
)
def _half_taken_off(number: Surd, whole: Surd) -> Surd:
    """Takes off half the number before the letter instead of the square of that half."""
    return number


@squared_without_halving.also(
    half,
    REWRITING,
    shows=("rewrite | y = x^2 + 6x + 5 | (x + 6)^2 - 31",),
    silent=("rewrite | y = x^2 + 6x + 5 | (x + 3)^2 - 4",),
)
def _never_halved(number: Surd) -> Surd:
    """Uses the whole number before the letter, without halving it."""
    return number


@squared_without_halving.also(square, REWRITING)
def _whole_squared(number: Surd, whole: Surd) -> Surd:
    return whole * whole


@binomial_keeps_full_coefficient.also(
    binomial_term,
    REWRITING,
    shows=("rewrite | y = x^2 + 6x + 5 | (x + 6)^2 - 4",),
    silent=("rewrite | y = x^2 + 6x + 5 | (x + 6)^2 - 31",),
)
def _full_coefficient(number: Surd, squared: Surd, whole: Surd) -> Surd:
    """Writes the whole number before the letter into the bracket instead of half of it."""
    return whole


@binomial_sign_lost.also(
    binomial_term,
    REWRITING,
    shows=("rewrite | y = x^2 - 6x + 5 | (x + 3)^2 - 4",),
    silent=("rewrite | y = x^2 - 6x + 5 | (x - 3)^2 - 4",),
)
def _other_sign(number: Surd, squared: Surd, whole: Surd) -> Surd:
    """Gives the bracket the opposite sign."""
    return -number
