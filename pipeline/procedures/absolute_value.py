"""Equations and inequalities with absolute values, one or several: cases by the order of signs."""

from __future__ import annotations

from itertools import pairwise
from typing import Final, NamedTuple

from pipeline.errors import CannotBeWorked
from pipeline.exact.coefficients import real_roots
from pipeline.exact.evaluate import surd_of, tree_of_surd
from pipeline.exact.numbers import Surd
from pipeline.exact.polynomials import fraction_of
from pipeline.exact.regions import EMPTY_SET, WHOLE_LINE, number_between, where
from pipeline.exact.trees import (
    TURNED,
    Absolute,
    Negation,
    Node,
    Relation,
    changed,
    letters,
    nodes,
    replaced,
)
from pipeline.exact.values import Region
from pipeline.procedures import operations as op
from pipeline.procedures.equations import ONE, ZERO, Linear, as_linear, linear_of, side_of
from pipeline.procedures.inequalities import (
    between,
    outside,
    real_sorted,
    region_where,
    report_region,
    turn_sign,
)
from pipeline.procedures.walk import ALL_REAL, NO_SOLUTION, Place, Plan, Walk, needed


class Bars(NamedTuple):
    """The relation k*|p*x + q| + m `sign` right, where right is a linear form.

    `both` says that the right side is |right| as well.
    """

    k: Surd
    inside: Linear
    m: Surd
    right: Linear
    sign: str
    both: bool = False


def drop_bars(start: Bars) -> op.Roots | None:
    """Decide to isolate the absolute value first."""
    return None


def may_be_negative(right: Surd) -> bool:
    """Whether an absolute value can equal this number."""
    return right.real_sign() >= 0


def first_case(inside: Linear, right: Linear) -> Surd | None:
    """Solve p*x + q = right; None when no number solves it."""
    p, q = inside.p - right.p, inside.q - right.q
    if not p:
        if not q:
            raise CannotBeWorked
        return None
    return -q / p


def second_case(inside: Linear, right: Linear) -> Surd | None:
    """Solve -(p*x + q) = right; None when no number solves it."""
    return first_case(Linear(-inside.p, -inside.q), right)


def keep_valid(roots: tuple[Surd | None, ...], right: Linear) -> tuple[Surd | None, ...]:
    """Keep the solutions where the right side is not negative."""
    return tuple(
        one for one in roots if one is not None and (right.p * one + right.q).real_sign() >= 0
    )


def report_cases(roots: tuple[Surd | None, ...]) -> op.Roots:
    """Answer with the solutions of both cases."""
    return frozenset(one for one in roots if one is not None)


def where_not_negative(right: Linear) -> Region:
    """From |y| = y return where y is not negative."""
    return region_where((right.q, right.p), (ONE,), ">=")


def solve_absolute_equation(step: Walk, start: Bars) -> op.Roots | Region | str:
    """Isolate the bars, and solve the two equations that they stand for."""
    early = step.do(drop_bars, Place.ABSOLUTE_VALUE, start)
    if early is not None:
        return early
    right = _isolated(step, start)
    if start.inside in (right, Linear(-right.p, -right.q)):
        if start.both:
            return ALL_REAL
        return step.do(where_not_negative, Place.ABSOLUTE_VALUE, right)
    constant = not right.p and not start.both
    if constant and not step.do(may_be_negative, Place.ABSOLUTE_VALUE, right.q):
        return NO_SOLUTION
    one = step.do(first_case, Place.ABSOLUTE_VALUE, start.inside, right)
    two = step.do(second_case, Place.ABSOLUTE_VALUE, start.inside, right)
    cases: tuple[Surd | None, ...] = (one, two)
    if not constant and not start.both:
        cases = step.do(keep_valid, Place.ABSOLUTE_VALUE, cases, right)
    return step.do(report_cases, Place.ABSOLUTE_VALUE, cases)


def _isolated(step: Walk, start: Bars) -> Linear:
    """Carry what stands beside the bars across, and divide by what stands before them."""
    p, q = start.right
    if start.m:
        q = step.do(op.carry_constant, Place.ABSOLUTE_VALUE, q, start.m)
    if start.k != ONE:
        p, q = p / start.k, step.do(op.divide, Place.LINEAR, q, start.k)
    return Linear(p, q)


def split_bars(inside: Linear, sign: str, right: Surd) -> Region:
    """Return where |p*x + q| stands so to a number."""
    is_open, below = "=" not in sign, sign[0] == "<"
    if right.real_sign() < 0:
        return EMPTY_SET if below else WHOLE_LINE
    low, high = sorted(((-right - inside.q) / inside.p, (right - inside.q) / inside.p))
    return (between if below else outside)(low, high, is_open)


def solve_absolute_inequality(step: Walk, start: Bars) -> object:
    """Isolate the bars, then go between or outside."""
    right = _isolated(step, start).q
    sign = start.sign
    if start.k != ONE:
        sign = step.do(turn_sign, Place.ABSOLUTE_VALUE, sign, start.k, ZERO)
    region = step.do(split_bars, Place.ABSOLUTE_VALUE, start.inside, sign, right)
    ends = (((side * right) - start.inside.q) / start.inside.p for side in (ONE, -ONE))
    boundaries = frozenset(ends) if right.real_sign() >= 0 else frozenset()
    return step.do(report_region, Place.ABSOLUTE_VALUE, region, boundaries)


def bars_of(first: Node, second: Node, sign: str, letter: str) -> Bars | None:
    """See a relation as one around an absolute value; None when it is not."""
    left, right = side_of(first, letter, Absolute), side_of(second, letter, Absolute)
    if left is None or right is None or not (left.parts or right.parts):
        return None
    if not left.parts:
        left, right, sign = right, left, TURNED.get(sign, sign)
    part = left.parts[0]
    inside = linear_of(part.node.argument, letter)  # type: ignore[union-attr]  # it is Absolute
    if len(left.parts) > 1 or len(left.rest) > 1 or inside is None or not inside.p:
        return None
    constant = left.rest[0] if left.rest else ZERO
    if not right.parts:
        beside = as_linear(right.rest)
        return None if beside is None else Bars(part.factor, inside, constant, beside, sign)
    other = linear_of(right.parts[0].node.argument, letter)  # type: ignore[union-attr]
    alike = (part.factor, right.parts[0].factor) == (ONE, ONE) and not right.rest and not constant
    if len(right.parts) > 1 or not alike or other is None:
        return None
    return Bars(ONE, inside, ZERO, other, sign, both=True)


MOST_BARS: Final = 3
"""Absolute values of one relation that are worked; school questions have no more."""


class Cases(NamedTuple):
    """The relation difference `sign` 0, its bars around fractions of polynomials in one letter."""

    difference: Node
    sign: str
    letter: str


def plan_by_cases(relation: Relation, letter: str) -> Plan | None:
    """See a relation as one with bars around fractions of polynomials; None when it is not."""
    if len(relation.sides) != 2 or letters(relation) != {letter}:
        return None
    difference = relation.difference
    bars = sum(isinstance(one, Absolute) for one in nodes(difference))
    if not 0 < bars <= MOST_BARS or fraction_of(_opened(difference, letter, None)) is None:
        return None
    return Plan("cases", solve_by_cases, Cases(difference, relation.signs[0], letter))


def solve_by_cases(step: Walk, start: Cases) -> op.Roots | Region | str:
    """Solve in each interval in which what stands between bars keeps its signs.

    Raises:
        CannotBeWorked: a case has no solutions in closed form.
    """
    difference, sign, letter = start

    def size(x: Surd) -> int:
        return _value(difference, letter, x).real_sign()

    zeros, poles = _zeros_and_poles(difference, letter)
    region = where(size, zeros, poles, sign)
    points = [one.low.surd for one in region.parts if one.low is not None and one.low == one.high]
    if sign != "=" or len(points) < len(region.parts):
        return region
    roots = frozenset(one for one in points if one is not None)
    return step.do(op.report, Place.ABSOLUTE_VALUE, roots) if roots else NO_SOLUTION


def _value(node: Node, letter: str, x: Surd) -> Surd:
    return needed(surd_of(replaced(node, ((letter, tree_of_surd(x)),))))


def _zeros_and_poles(node: Node, letter: str) -> tuple[frozenset[Surd], frozenset[Surd]]:
    """Return where an expression may change its sign.

    Where it is zero throughout an interval, the ends of that are among the zeros.
    """
    ends: frozenset[Surd] = frozenset()
    for bar in {one.argument for one in nodes(node) if isinstance(one, Absolute)}:
        ends |= frozenset().union(*_zeros_and_poles(bar, letter))
    zeros: frozenset[Surd] = frozenset()
    poles: frozenset[Surd] = frozenset()
    for low, high in pairwise((None, *real_sorted(ends), None)):
        ratio = needed(fraction_of(_opened(node, letter, number_between(low, high))))
        above, below = (real_roots(tuple(part.coefficients(letter))) for part in ratio)
        here = frozenset(one for one in (low, high) if one is not None)
        zeros |= here if not ratio[0] else _within(above, low, high)
        poles |= _within(below, low, high)
    return zeros, poles


def _opened(node: Node, letter: str, inside: Surd | None) -> Node:
    """Return an expression without its bars, as it is near a number; None for any case."""

    def without_bars(one: Node) -> Node | None:
        if not isinstance(one, Absolute):
            return None
        argument = _opened(one.argument, letter, inside)
        negative = inside is not None and _value(one.argument, letter, inside).real_sign() < 0
        return Negation(argument) if negative else argument

    return changed(node, without_bars)


def _within(roots: frozenset[Surd], low: Surd | None, high: Surd | None) -> frozenset[Surd]:
    return frozenset(
        one for one in roots if (low is None or low <= one) and (high is None or one <= high)
    )
