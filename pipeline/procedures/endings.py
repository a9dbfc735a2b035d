"""What procedures end in: as a form that is compared fast, and as values of answers.

A comparable ending is a set of surds (one number is a set of one), a tuple of surds (a point),
a statement, or the canonical key of an expression, a region or an equation.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable

from pipeline.errors import CannotBeWorked
from pipeline.exact.numbers import Surd
from pipeline.exact.numeric import recognized
from pipeline.exact.trees import Node, letters
from pipeline.exact.values import (
    Expression,
    Number,
    Point,
    Roots,
    Statement,
    StatementCode,
    Value,
    number_of,
    tree_key,
    value_key,
)
from pipeline.procedures.inequalities import real_sorted
from pipeline.procedures.walk import NO_REAL, NO_SOLUTION, said
from pipeline.records import Numbers


def comparable_ending(ending: Hashable, numbers: Numbers) -> Hashable | None:
    """Return the comparable form of an ending.

    "No real solution" ends a path over the real numbers only; over the complex numbers the path
    goes on, and None is returned. "No solution" is an answer in both.
    """
    if type(ending) is frozenset:
        return ending
    if isinstance(ending, Surd):
        return frozenset({ending})
    if ending == NO_REAL and numbers == "complex":
        return None
    if ending == NO_SOLUTION:
        return NO_REAL
    return comparable_value(value_of(ending)) if isinstance(ending, Node | Value) else ending


def comparable_value(value: Value) -> Hashable | None:
    """Return a value that was read in its comparable form, or None where it has none."""
    match value:
        case Number(_, tree, _):
            exact = _exactly(value)
            return tree_key(tree) if exact is None else frozenset({exact})
        case Roots(members):
            surds = frozenset(map(_exactly, members))
            return value_key(value) if None in surds else surds
        case Point(coordinates):
            return tuple(part.surd for part in coordinates)
        case Expression(tree):
            return tree_key(tree)
        case Statement(StatementCode.NO_REAL | StatementCode.NO_SOLUTION):
            return NO_REAL
        case Statement(code):
            return code.value
        case _:
            key = value_key(value)
            return NO_REAL if key == NO_SOLUTION else key


def _exactly(number: Number) -> Surd | None:
    """A number, or what a logarithm or a nested root turns out to be."""
    return number.surd if number.surd is not None else recognized(number.tree)


def ending_keys(ending: Hashable) -> Iterable[str]:
    """Yield the canonical keys of the answers that a comparable ending stands for."""
    if ending == NO_REAL:
        return (NO_REAL, NO_SOLUTION)
    known = isinstance(ending, frozenset | tuple)
    return (value_key(value_of(ending)) if known else str(ending),)


def value_of(ending: Hashable) -> Value:
    """Return an ending as the value of an answer.

    Raises:
        CannotBeWorked: no answer has this form.
    """
    ending = said(ending)
    if isinstance(ending, Value):
        return ending
    match ending:
        case Surd():
            return Number.exactly(ending)
        case frozenset():
            return Roots(tuple(Number.exactly(one) for one in _ordered(ending)))
        case str():
            return Statement(StatementCode(ending))
        case tuple():
            return Point(tuple(Number.exactly(one) for one in ending))
    if isinstance(ending, Node):
        return Expression(ending) if letters(ending) else number_of(ending)
    raise CannotBeWorked(f"no answer has the form of {ending!r}")


def _ordered(roots: frozenset[Surd]) -> list[Surd]:
    rest = [one for one in roots if not one.is_real]
    rest.sort(key=lambda one: (one.approximate().real, one.approximate().imag))
    return [*real_sorted(roots), *rest]
