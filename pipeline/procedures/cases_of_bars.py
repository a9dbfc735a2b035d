"""Equations and inequalities with several absolute values: a case for each order of signs."""

from __future__ import annotations

from itertools import pairwise
from typing import Final, NamedTuple

from pipeline.errors import CannotBeWorked
from pipeline.exact.building import tree_of_surd
from pipeline.exact.coefficients import Coefficients, exact_roots
from pipeline.exact.evaluate import surd_of
from pipeline.exact.numbers import Surd
from pipeline.exact.polynomials import fraction_of
from pipeline.exact.regions import number_between, where
from pipeline.exact.trees import (
    Absolute,
    Negation,
    Node,
    Relation,
    Sum,
    changed,
    letters,
    nodes,
    replaced,
)
from pipeline.procedures import operations as op
from pipeline.procedures.places import Place
from pipeline.procedures.sign_charts import Regional, part_of_line, real_sorted
from pipeline.procedures.walk import NO_SOLUTION, Plan, Walk

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
    left, right = relation.sides
    difference = Sum((left, Negation(right)))
    bars = sum(isinstance(one, Absolute) for one in nodes(difference))
    if not 0 < bars <= MOST_BARS or fraction_of(_opened(difference, letter, None)) is None:
        return None
    return Plan("cases", solve_by_cases, Cases(difference, relation.signs[0], letter))


def solve_by_cases(step: Walk, start: Cases) -> op.Roots | Regional:
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
        return part_of_line(region)
    roots = frozenset(one for one in points if one is not None)
    return step.do(op.report, Place.ABSOLUTE_VALUE, roots) if roots else NO_SOLUTION


def _value(node: Node, letter: str, x: Surd) -> Surd:
    found = surd_of(replaced(node, ((letter, tree_of_surd(x)),)))
    if found is None:
        raise CannotBeWorked
    return found


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
        ratio = fraction_of(_opened(node, letter, number_between(low, high)))
        if ratio is None:
            raise CannotBeWorked
        above, below = (_real_roots(tuple(part.coefficients(letter))) for part in ratio)
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


def _real_roots(numbers: Coefficients) -> frozenset[Surd]:
    roots = exact_roots(numbers) if numbers else frozenset()
    if roots is None:
        raise CannotBeWorked
    return frozenset(one for one in roots if one.is_real)
