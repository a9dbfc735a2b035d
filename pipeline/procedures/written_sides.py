"""An equation whose sides are worked as expressions first, then solved without a further fault."""

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
    letters,
    nodes,
    with_children,
)
from pipeline.procedures.equations import equation_of
from pipeline.procedures.places import Place
from pipeline.procedures.quadratic import solve_linear, use_the_formula
from pipeline.procedures.rewriting.operations import OPERATIONS
from pipeline.procedures.walk import Plan, Walk


def _is_worked(node: Node) -> bool:
    """Whether a place holds more than a number, a letter and its coefficient."""
    match node:
        case Power(base=part) | Quotient(numerator=part):
            return isinstance(part, Sum) and bool(letters(part))
        case Product(parts):
            return any(isinstance(part, Sum) and letters(part) for part in parts)
        case Sum(parts):
            plain = len(parts) == 2 and sum(bool(letters(part)) for part in parts) == 1
            return not plain or any(map(_is_worked, parts))
        case Negation(part):
            return isinstance(part, Sum) or _is_worked(part)
        case _:
            return False


def _worked(step: Walk, node: Node) -> Node:
    if _is_worked(node):
        node = step.do(OPERATIONS[type(node)], Place.SIMPLIFY, node)
    parts = children(node)
    return with_children(node, [_worked(step, part) for part in parts]) if parts else node


def solve_worked_sides(step: Walk, start: tuple[Relation, str]) -> Hashable:
    """Work the places of both sides that call for it, then solve."""
    relation, letter = start
    sides = tuple(_worked(step, side) for side in relation.sides)
    if sides == relation.sides:
        step.logged = False  # what goes wrong later alone is found without the sides
    equation = equation_of(Relation(sides, ("=",)), letter)
    if equation is None:
        raise CannotBeWorked
    if equation.degree < 2:
        return solve_linear(step, equation)
    step.logged = False
    return use_the_formula(step, equation)


def plans_of_sides(relation: Relation, letter: str) -> list[Plan]:
    """Return the way that works the sides, where one of them has something to be worked."""
    worked = any(map(_is_worked, nodes(relation)))
    return [Plan("sides", solve_worked_sides, (relation, letter))] if worked else []
