"""Sides of an equation or inequality, worked as expressions first; then it is solved."""

from __future__ import annotations

from collections.abc import Hashable

from pipeline.errors import CannotBeWorked
from pipeline.exact.trees import (
    Negation,
    Node,
    Power,
    Product,
    Quotient,
    Relation,
    Sum,
    children,
    nodes,
    with_children,
)
from pipeline.procedures.equations import equation_of
from pipeline.procedures.inequalities import Comparison, solve_linear_inequality
from pipeline.procedures.quadratic import solve_linear, use_the_formula
from pipeline.procedures.rewriting.operations import OPERATIONS
from pipeline.procedures.rewriting.working import LARGE, size_of
from pipeline.procedures.walk import Place, Plan, Walk


def _is_worked(node: Node) -> bool:
    """Whether a place is a sum, or something is done to one."""
    match node:
        case Power(base=part) | Quotient(numerator=part) | Negation(part):
            return isinstance(part, Sum | Product) and _is_worked(part)
        case Product(parts):
            return any(isinstance(part, Sum) for part in parts)
        case _:
            return isinstance(node, Sum)


def _worked(step: Walk, node: Node) -> Node:
    if _is_worked(node):
        node = step.do(OPERATIONS[type(node)], Place.SIMPLIFY, node)
    parts = children(node)
    return with_children(node, [_worked(step, part) for part in parts]) if parts else node


def solve_worked_sides(step: Walk, start: tuple[Relation, str]) -> Hashable:
    """Work the places of both sides that call for it, then solve.

    What goes wrong later alone is found without the sides, and in long ones no second fault is.
    """
    relation, letter = start
    if step.replay and sum(map(size_of, relation.sides)) > LARGE:
        step.logged = False
    sides = tuple(_worked(step, side) for side in relation.sides)
    if sides == relation.sides:
        step.logged = False
    equation, (sign,) = equation_of(Relation(sides, ("=",)), letter), relation.signs
    if equation is None or not equation.degree or (sign != "=" and equation.degree > 1):
        raise CannotBeWorked
    if sign != "=":
        return solve_linear_inequality(step, Comparison(equation, sign))
    if equation.degree < 2:
        return solve_linear(step, equation)
    step.logged = False
    return use_the_formula(step, equation)


def plans_of_sides(relation: Relation, letter: str) -> list[Plan]:
    """Return the way that works the sides, where one of them has something to be worked."""
    worked = any(map(_is_worked, nodes(relation)))
    return [Plan("sides", solve_worked_sides, (relation, letter))] if worked else []
