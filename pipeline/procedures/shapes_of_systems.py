"""Systems of two linear equations, seen as two rows of numbers."""

from __future__ import annotations

from pipeline.exact.polynomials import polynomial_of
from pipeline.exact.trees import Negation, Relation, Sum
from pipeline.procedures.equations import ONE, ZERO
from pipeline.procedures.systems import Row, System, solve_by_elimination, solve_by_substitution
from pipeline.procedures.walk import Plan


def row_of(relation: Relation, names: list[str]) -> Row | None:
    """Return an equation as a*x + b*y = c, the unknowns in the order of `names`."""
    if relation.signs != ("=",):
        return None
    found = polynomial_of(Sum((relation.sides[0], Negation(relation.sides[1]))))
    if found is None or not found.letters <= set(names) or found.degree() > 1:
        return None
    a, b = (found.terms.get(((name, 1),), ZERO) for name in names)
    return Row(a, b, -found.constant_term)


def system_plans(first: Relation, second: Relation, names: list[str]) -> list[Plan]:
    """Return the ways to solve a system, by the unknown that goes first and the row used last."""
    one, two = row_of(first, names), row_of(second, names)
    if one is None or two is None or not (any(one[:2]) and any(two[:2])):
        return []
    orders = [
        System(upper, lower, turned)
        for turned in (False, True)
        for upper, lower in _both_orders(one, two, turned)
    ]
    eliminated = [Plan("elimination", solve_by_elimination, order) for order in orders]
    substituted = [
        Plan("substitution", solve_by_substitution, order)
        for order in orders
        if order.first.b in (ONE, -ONE) or not order.first.a
    ]
    return [*eliminated, *substituted] or [Plan("substitution", solve_by_substitution, orders[0])]


def _both_orders(one: Row, two: Row, turned: bool) -> list[tuple[Row, Row]]:
    if turned:
        one, two = one.turned(), two.turned()
    return [(one, two), (two, one)]
