"""Systems of two linear equations in two unknowns: elimination and substitution."""

from __future__ import annotations

from math import lcm
from typing import NamedTuple

from pipeline.errors import CannotBeWorked
from pipeline.exact.numbers import Surd
from pipeline.exact.polynomials import polynomial_of
from pipeline.exact.trees import Relation
from pipeline.procedures import operations as op
from pipeline.procedures.equations import ONE, ZERO
from pipeline.procedures.walk import Place, Plan, Walk


class Row(NamedTuple):
    """The equation a*x + b*y = c."""

    a: Surd
    b: Surd
    c: Surd

    def turned(self) -> Row:
        """Return the row with the unknowns changed about."""
        return Row(self.b, self.a, self.c)


class SolvedRow(NamedTuple):
    """The equation y = m*x + k, or with the unknowns changed about."""

    turned: bool
    m: Surd
    k: Surd


class OneUnknown(NamedTuple):
    """The equation a*x = c, or a*y = c."""

    second: bool
    a: Surd
    c: Surd


class _System(NamedTuple):
    """Two equations and the order in which they are worked.

    Args:
        first, second: the equations, the unknowns in alphabetical order unless turned.
        turned: whether the unknowns have changed places.
    """

    first: Row
    second: Row
    turned: bool = False

    def as_asked(self, row: Row) -> Row:
        """Return a row with the unknowns in alphabetical order."""
        return row.turned() if self.turned else row


def scale_row(row: Row, factor: Surd) -> Row:
    """Multiply an equation by a number."""
    return Row(row.a * factor, row.b * factor, row.c * factor)


def combine_rows(first: Row, second: Row) -> tuple[Surd, Surd]:
    """Subtract the equations, or add them, so that y is gone; return a and c of a*x = c."""
    if first.b == second.b:
        return first.a - second.a, first.c - second.c
    return first.a + second.a, first.c + second.c


def isolate_letter(row: Row) -> tuple[Surd, Surd]:
    """Solve an equation for y; return m and k of y = m*x + k."""
    return -row.a / row.b, row.c / row.b


def evaluate_line(m: Surd, k: Surd, x: Surd) -> Surd:
    """Evaluate m*x + k."""
    return m * x + k


def report_point(x: Surd, y: Surd) -> object:
    """Answer with the point."""
    return x, y


def _solve_by_elimination(step: Walk, start: _System) -> object:
    """Make the coefficients of y alike, take y out, solve for x, put x into the first equation."""
    first, second = start.first, start.second
    if not first.b or not second.b:
        raise CannotBeWorked
    one, two = _factors(first.b, second.b)
    upper = step.do(scale_row, Place.SYSTEM, first, one) if one != ONE else first
    lower = step.do(scale_row, Place.SYSTEM, second, two) if two != ONE else second
    for row in (one for one in (upper, lower) if one not in (first, second)):
        step.write(start.as_asked, row)
    a, c = step.do(combine_rows, Place.SYSTEM, upper, lower)
    if not a:
        return step.do(op.conclude, Place.SYSTEM, c)
    step.write(OneUnknown, start.turned, a, c)
    x = _divided(step, start.turned, c, a)
    right = step.do(op.carry_constant, Place.SYSTEM, first.c, first.a * x) if first.a else first.c
    step.write(start.as_asked, Row(ZERO, first.b, right))
    return _point(step, start, x, _divided(step, not start.turned, right, first.b))


def _divided(step: Walk, second: bool, right: Surd, a: Surd) -> Surd:
    """From a*x = right, x the first unknown or the second, return x."""
    found = step.do(op.divide, Place.LINEAR, right, a)
    step.write(OneUnknown, second, ONE, found)
    return found


def _factors(first: Surd, second: Surd) -> tuple[Surd, Surd]:
    """Return by what each equation is multiplied, so that both coefficients have one size."""
    if first.is_integer and second.is_integer:
        one, two = int(first.as_fraction()), int(second.as_fraction())
        common = lcm(one, two)
        return Surd.of(common // abs(one)), Surd.of(common // abs(two))
    factor = first / second
    return ONE, -factor if factor.real_sign() < 0 else factor


def _solve_by_substitution(step: Walk, start: _System) -> object:
    """Solve the first equation for y, put it into the second, solve for x, go back."""
    first, second = start.first, start.second
    if not first.b:
        raise CannotBeWorked
    m, k = step.do(isolate_letter, Place.SYSTEM, first)
    step.write(SolvedRow, start.turned, m, k)
    if second.b:
        from_m, from_k = step.do(op.distribute, Place.LINEAR, second.b, m, k)
    else:
        from_m = from_k = second.b
    a = second.a + from_m
    right = step.do(op.carry_constant, Place.SYSTEM, second.c, from_k) if from_k else second.c
    if not a:
        return step.do(op.conclude, Place.SYSTEM, right)
    step.write(OneUnknown, start.turned, a, right)
    x = _divided(step, start.turned, right, a)
    y = step.do(evaluate_line, Place.SYSTEM, m, k, x)
    step.write(OneUnknown, not start.turned, ONE, y)
    return _point(step, start, x, y)


def _point(step: Walk, start: _System, x: Surd, y: Surd) -> object:
    if start.turned:
        x, y = y, x
    return step.do(report_point, Place.SYSTEM, x, y)


def row_of(relation: Relation, names: list[str]) -> Row | None:
    """Return an equation as a*x + b*y = c, the unknowns in the order of `names`."""
    if relation.signs != ("=",):
        return None
    found = polynomial_of(relation.difference)
    if found is None or not found.letters <= set(names) or found.degree() > 1:
        return None
    a, b = (found.terms.get(((name, 1),), ZERO) for name in names)
    return Row(a, b, -found.constant_term)


def system_plans(first: Relation, second: Relation, names: list[str]) -> list[Plan]:
    """Return the ways to solve a system, by the unknown that goes first and the row used last."""
    one, two = row_of(first, names), row_of(second, names)
    if one is None or two is None or not (any(one[:2]) and any(two[:2])):
        return []
    turned = one.turned(), two.turned()
    orders = [
        _System(*rows, is_turned)
        for is_turned, both in ((False, (one, two)), (True, turned))
        for rows in (both, both[::-1])
    ]
    eliminated = [Plan("elimination", _solve_by_elimination, order) for order in orders]
    substituted = [
        Plan("substitution", _solve_by_substitution, order)
        for order in orders
        if order.first.b in (ONE, -ONE) or not order.first.a
    ]
    return [*eliminated, *substituted]
