"""An equation whose sides are worked as expressions first, then solved without a further fault."""

from __future__ import annotations

from collections.abc import Hashable

from pipeline.errors import CannotBeWorked
from pipeline.exact.trees import (
    Node,
    Power,
    Product,
    Quotient,
    Relation,
    Sum,
    children,
    letters,
    nodes,
    with_children,
)
from pipeline.procedures.equations import equation_of
from pipeline.procedures.linear import solve_linear
from pipeline.procedures.places import Place
from pipeline.procedures.quadratic import use_the_formula
from pipeline.procedures.rewriting.operations import OPERATIONS
from pipeline.procedures.walk import Plan, Walk


def _is_worked(node: Node) -> bool:
    """Whether a node is a power, a fraction or a product of sums, or a sum of fractions."""
    match node:
        case Power(base=part) | Quotient(numerator=part):
            return isinstance(part, Sum) and bool(letters(part))
        case Product(parts):
            return sum(isinstance(part, Sum) and bool(letters(part)) for part in parts) > 1
        case Sum(parts):
            return sum(isinstance(part, Quotient) for part in parts) > 1
        case _:
            return False


def _worked(step: Walk, node: Node) -> Node:
    if _is_worked(node):
        return step.do(OPERATIONS[type(node)], Place.SIMPLIFY, node)
    parts = children(node)
    return with_children(node, [_worked(step, part) for part in parts]) if parts else node


def solve_worked_sides(step: Walk, start: tuple[Relation, str]) -> Hashable:
    """Work the places of both sides that call for it, then solve."""
    relation, letter = start
    sides = tuple(_worked(step, side) for side in relation.sides)
    step.logged = False
    equation = equation_of(Relation(sides, ("=",)), letter)
    if equation is None:
        raise CannotBeWorked
    return (solve_linear if equation.degree < 2 else use_the_formula)(step, equation)


def plans_of_sides(relation: Relation, letter: str) -> list[Plan]:
    """Return the way that works the sides, where one of them has something to be worked."""
    worked = any(map(_is_worked, nodes(relation)))
    return [Plan("sides", solve_worked_sides, (relation, letter))] if worked else []
