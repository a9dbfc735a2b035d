"""Which ways a formula is solved for a letter."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from pipeline.errors import CannotBeWorked
from pipeline.exact.trees import (
    Negation,
    Node,
    Numeral,
    Product,
    Quotient,
    Sum,
    children,
    exchanged,
    letters,
)
from pipeline.exact.values import Equation, Roots, number_of
from pipeline.procedures.solving_for import formula_of, root_of_power, solve_formula, wrappings
from pipeline.procedures.walk import Plan, Walk
from pipeline.reading.problems import Problem

_EVEN: Final = tuple(Numeral(Fraction(power)) for power in (2, 4, 6))


def formula_plans(problem: Problem) -> list[Plan]:
    """Read a formula with the letter to the first power, or inside one power, root or logarithm.

    Raises:
        CannotBeWorked: it is no equation or inequality, or the letter is bound in another way.
    """
    if len(problem.relations) != 1 or len(problem.relations[0].signs) != 1:
        raise CannotBeWorked("a formula is an equation, such as `A = b*h/2 for h`")
    (left, right), (sign,) = problem.relations[0].sides, problem.relations[0].signs
    letter = problem.letter
    found = [Plan("formula", solve_formula, formula_of(left, right, letter, sign))]
    brackets = _brackets(left, letter) + _brackets(right, letter)
    if len(brackets) == 1 and not wrappings(brackets[0], letter) and sign == "=":
        start = formula_of(left, right, letter, sign, brackets[0])
        found.append(Plan("bracket", solve_formula, start))
    return found


def _brackets(node: Node, letter: str, inside: bool = False) -> list[Node]:
    """Find the sums with a letter that are multiplied or divided as a whole."""
    if letter not in letters(node):
        return []
    if isinstance(node, Sum) and inside:
        return [node]
    if isinstance(node, Quotient) and letter in letters(node.denominator):
        return []
    inside = isinstance(node, Product | Quotient)
    return [one for part in children(node) for one in _brackets(part, letter, inside)]


def both_signs(plan: Plan) -> list[Roots]:
    """Return a formula with both signs before the root that undid an even power, if one did."""
    if plan.procedure is not solve_formula:
        return []
    walk = Walk()
    found = solve_formula(walk, plan.start)
    undone = [step for step in walk.log if step.operation is root_of_power]
    even = [step.result for step in undone if step.arguments[1] in _EVEN]
    if len(even) != 1 or not isinstance(found, Equation):
        return []
    tree = found.relation.sides[1]
    other = exchanged(tree, even[0], Negation(even[0]))
    return [Roots((number_of(tree), number_of(other)))]
