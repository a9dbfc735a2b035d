"""Which ways a formula is solved for a letter."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from fractions import Fraction
from typing import Final

from pipeline.errors import CannotBeWorked
from pipeline.exact.trees import (
    Call,
    Letter,
    Node,
    Numeral,
    Power,
    Product,
    Quotient,
    Relation,
    Root,
    Sum,
    children,
    letters,
)
from pipeline.exact.values import Roots
from pipeline.procedures.solving_for import Formula, formula_of, solve_formula, wrappings
from pipeline.procedures.walk import Plan, Walk
from pipeline.reading.problems import Problem

_ZERO: Final = Numeral(Fraction(0))
_OF_EITHER_SIGN: Final = frozenset("xyz")
"""Letters that by convention stand for any number; others measure something, such as a length."""


def formula_plans(problem: Problem) -> list[Plan]:
    """Read a formula with the letter to the first power, or inside one power, root or logarithm.

    Raises:
        CannotBeWorked: it is no equation or inequality, or the letter is bound in another way.
    """
    letter = problem.letter
    relations = [one for one in problem.relations if not _says_positive(one, letter)]
    if len(relations) != 1 or len(relations[0].signs) != 1:
        raise CannotBeWorked("a formula is an equation, such as `A = b*h/2 for h`")
    (left, right), (sign,) = relations[0].sides, relations[0].signs
    both = True if letter in _OF_EITHER_SIGN else None
    if len(relations) < len(problem.relations):
        both = False
    return [
        Plan(name, solve_formula, start._replace(both=both))
        for name, start in ways_to_isolate(left, right, letter, sign)
    ]


def ways_to_isolate(
    left: Node, right: Node, letter: str, sign: str = "="
) -> Iterator[tuple[str, Formula]]:
    """See a formula as terms with and without a letter, and by the bracket or fraction around it.

    Yields:
        The name of the way, and the formula.

    Raises:
        CannotBeWorked: the letter is bound in another way.
    """
    yield "formula", formula_of(left, right, letter, sign)
    brackets = _brackets(left, letter) + _brackets(right, letter)
    fractions = _fractions(left, letter) + _fractions(right, letter)
    for name, around in (("bracket", brackets), ("reciprocal", fractions)):
        if len(around) == 1 and not wrappings(around[0], letter) and sign == "=":
            with suppress(CannotBeWorked):  # the letter stands elsewhere as well
                yield name, formula_of(left, right, letter, sign, around[0])


def _says_positive(relation: Relation, letter: str) -> bool:
    return relation.sides == (Letter(letter), _ZERO) and relation.signs[0] in (">", ">=")


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


def _fractions(node: Node, letter: str) -> list[Node]:
    """Find the fractions with a letter below the line and not above it."""
    if letter not in letters(node) or isinstance(node, Power | Root | Call):
        return []
    if isinstance(node, Quotient) and letter not in letters(node.numerator):
        return [node]
    return [one for part in children(node) for one in _fractions(part, letter)]


def both_signs(plan: Plan) -> list[Roots]:
    """Return a formula with both signs before an even power's root, where they are as right."""
    if plan.procedure is not solve_formula or plan.start.both is not None:
        return []
    found = solve_formula(Walk(), plan.start._replace(both=True))
    return [found] if isinstance(found, Roots) else []
