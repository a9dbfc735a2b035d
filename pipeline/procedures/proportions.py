"""Proportions: two fractions, one of their four numbers unknown."""

from __future__ import annotations

from typing import NamedTuple

from pipeline.exact.numbers import Surd
from pipeline.exact.trees import Letter, Node, Quotient, Relation
from pipeline.procedures import operations as op
from pipeline.procedures.places import Place
from pipeline.procedures.rewriting.terms import rational
from pipeline.procedures.walk import Walk


class Proportion(NamedTuple):
    """The three numbers beside the unknown, as written and not reduced.

    Args:
        beside: the other number of the unknown's fraction.
        level: the number of the other fraction in the unknown's row.
        across: the number diagonal to the unknown.
    """

    beside: Surd
    level: Surd
    across: Surd


def fourth_term(beside: Surd, level: Surd, across: Surd) -> Surd:
    """Multiply crosswise and divide by the number diagonal to the unknown."""
    return beside * level / across


def solve_proportion(step: Walk, start: Proportion) -> op.Roots:
    """Find the unknown number of a proportion."""
    return frozenset({step.do(fourth_term, Place.PROPORTION, *start)})


def proportion_of(relation: Relation, letter: str) -> Proportion | None:
    """See `x/6 = 4/8` and its arrangements; None for any other equation."""
    if relation.signs != ("=",) or not all(isinstance(one, Quotient) for one in relation.sides):
        return None
    rows = [(one.numerator, one.denominator) for one in relation.sides if isinstance(one, Quotient)]
    found = [(side, row) for side in (0, 1) for row in (0, 1) if rows[side][row] == Letter(letter)]
    if len(rows) != 2 or len(found) != 1:
        return None
    ((side, row),) = found
    numbers = [
        _number(one) for one in (rows[side][1 - row], rows[1 - side][row], rows[1 - side][1 - row])
    ]
    if any(one is None or not one for one in numbers):
        return None
    return Proportion(*(one for one in numbers if one is not None))


def _number(node: Node) -> Surd | None:
    found = rational(node)
    return None if found is None else Surd.of(found)
