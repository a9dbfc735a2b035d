"""What procedures end in, as values of answers, and in a form that is compared fast.

A comparable ending is a set of surds, one surd, a tuple of surds (a point), a statement, or the
canonical key of an expression.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator

from pipeline.exact.keys import tree_key
from pipeline.exact.numbers import Surd
from pipeline.exact.values import (
    Expression,
    Number,
    Point,
    Roots,
    Statement,
    StatementCode,
    Value,
)
from pipeline.procedures.statements import ALL_REAL, NO_REAL, NO_SOLUTION
from pipeline.records import Numbers

__all__ = ["as_value", "comparable", "comparable_value"]


def comparable(ending: Hashable, numbers: Numbers) -> Iterator[Hashable]:
    """Yield the comparable forms of an ending.

    "No real solution" is an ending of its own only where complex numbers are not asked for;
    a student who works over the complex numbers goes on.
    """
    if ending == NO_SOLUTION:
        yield NO_REAL
    else:
        yield ending


def comparable_value(value: Value) -> Hashable:
    """Return a value that was read as a comparable ending, or None where it is none."""
    match value:
        case Number(surd, tree, _):
            return frozenset({surd}) if surd is not None else tree_key(tree)
        case Roots(members):
            surds = frozenset(member.surd for member in members)
            return None if None in surds else surds
        case Point(coordinates):
            return tuple(part.surd for part in coordinates)
        case Expression(tree):
            return tree_key(tree)
        case Statement(StatementCode.NO_REAL | StatementCode.NO_SOLUTION):
            return NO_REAL
        case Statement(code):
            return code.value
        case _:
            return None
