"""Errors of expressions where they are met on a side of an equation."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from pipeline.exact.numbers import Surd
from pipeline.patterns.fractions import fractions_added_across
from pipeline.patterns.like_terms import bare_letter_counts_as_none
from pipeline.patterns.order_of_operations import subtracted_before_multiplying
from pipeline.patterns.square_root_property import shift_moved_same_sign
from pipeline.procedures.absolute_value import ABSOLUTE, first_case, second_case
from pipeline.procedures.equations import ONE, ZERO, Bracket, Equation, Linear
from pipeline.procedures.operations import copy_equation
from pipeline.procedures.walk import Choices

_LINEAR = "linear equation"
_Side = tuple[Bracket, ...]


def _with_side(equation: Equation, place: int, terms: _Side) -> Equation:
    """The equation with other terms on one side."""
    sides = [equation.brackets[0], equation.brackets[1]]
    sides[place] = terms
    whole = [_whole(side) for side in sides]
    return Equation(whole[0], whole[1], brackets=(sides[0], sides[1]))


def _whole(side: _Side) -> tuple[Surd, Surd, Surd]:
    p = sum((term.k * term.p for term in side), ZERO)
    q = sum((term.k * term.q for term in side), ZERO)
    return ZERO, p, q


@subtracted_before_multiplying.also(
    copy_equation,
    _LINEAR,
    shows=("solve | 8 - 3(x + 2) = 20 | 2", "solve | 2 + 5(x - 1) = 14 | 3"),
    silent=("solve | 8 - 3(x + 2) = 20 | -6", "solve | 8 - 3x = 20 | 4"),
)
def _joined_with_multiplier(equation: Equation) -> Choices:
    """Joins the number in front with the multiplier of a bracket before multiplying it out."""
    return Choices(
        _with_side(equation, place, (*side[:i], joined, *side[i + 2 :]))
        for place, side in enumerate(equation.brackets)
        for i, joined in _numbers_before_brackets(side)
    )


def _numbers_before_brackets(side: _Side) -> Iterator[tuple[int, Bracket]]:
    for i, (first, second) in enumerate(pairwise(side)):
        if not first.p and first.q and second.written and second.k != ONE:
            yield i, second._replace(k=first.q + second.k)


@bare_letter_counts_as_none.also(
    copy_equation,
    _LINEAR,
    shows=("solve | 7x + x = 56 | 8", "solve | 6x - x = 30 | 5"),
    silent=("solve | 7x + x = 56 | 7", "solve | 7x + 2x = 56 | 8"),
)
def _bare_unknown_left_out(equation: Equation) -> Choices:
    """Counts a letter without a written coefficient as none of it."""
    return Choices(
        _with_side(equation, place, (*side[:i], *side[i + 1 :]))
        for place, side in enumerate(equation.brackets)
        if sum(bool(term.p) for term in side) > 1
        for i, term in enumerate(side)
        if not term.written and not term.q and term.p in (ONE, -ONE)
    )


@fractions_added_across.also(
    copy_equation,
    _LINEAR,
    shows=("solve | x/6 + x/4 = 2 | 10", "solve | x/3 + x/5 = 1 | 4"),
    silent=("solve | x/6 + x/4 = 2 | 24/5", "solve | x/6 = 2 | 10"),
)
def _unknowns_added_across(equation: Equation) -> Choices:
    """Adds fractions by adding the numerators and adding the denominators."""
    return Choices(
        _with_side(equation, place, (*side[:i], joined, *side[i + 2 :]))
        for place, side in enumerate(equation.brackets)
        for i, joined in _fractions_side_by_side(side)
    )


def _fractions_side_by_side(side: _Side) -> Iterator[tuple[int, Bracket]]:
    for i, (first, second) in enumerate(pairwise(side)):
        plain = not (first.written or second.written or first.q or second.q)
        if plain and _is_fraction(first.p) and _is_fraction(second.p):
            top = first.p * first.p.denominator + second.p * second.p.denominator
            yield i, Bracket(ONE, top / (first.p.denominator + second.p.denominator), ZERO, False)


def _is_fraction(number: Surd) -> bool:
    return number.is_rational and number.denominator != 1


@shift_moved_same_sign.also(
    first_case,
    ABSOLUTE,
    shows=("solve | |x + 9| = 8 | 17, 1", "solve | |2x - 3| = 7 | 2, -5"),
    silent=("solve | |x + 9| = 8 | -1, -17", "solve | |x| = 8 | 8, -8"),
)
def _shift_of_first_case(inside: Linear, right: Linear) -> Surd | None:
    """Carries the number beside the unknown across the equals sign without changing its sign."""
    return (right.q + inside.q) / inside.p if inside.q and not right.p else None


@shift_moved_same_sign.also(second_case, ABSOLUTE)
def _shift_of_second_case(inside: Linear, right: Linear) -> Surd | None:
    return (inside.q - right.q) / inside.p if inside.q and not right.p else None
