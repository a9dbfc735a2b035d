"""Logarithms: their values, and equations with one or two of them on one side."""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple, TypeGuard

from pipeline.errors import CannotBeWorked
from pipeline.exact.coefficients import (
    Coefficients,
    added,
    exact_roots,
    multiplied,
    scaled,
    value_at,
)
from pipeline.exact.numbers import Surd
from pipeline.exact.trees import Call, Node, letters
from pipeline.procedures import operations as op
from pipeline.procedures.equations import coefficients
from pipeline.procedures.isolating import multiples_of
from pipeline.procedures.places import Place
from pipeline.procedures.quantities import (
    EULER,
    Quantity,
    approximate,
    logarithm,
    minus,
    node_of,
    over,
    quantity_of,
    raised,
    settled,
    solution,
    times,
)
from pipeline.procedures.walk import NO_SOLUTION, Walk

MAX_ROOT = 12
"""Largest denominator of a logarithm that is looked for."""


class Single(NamedTuple):
    """The logarithm of a number to a base."""

    base: Quantity
    argument: Quantity


class Term(NamedTuple):
    """factor*log(inside), to a base that is told beside it."""

    factor: Surd
    inside: Coefficients


class Logarithms(NamedTuple):
    """log(first) + side*log(second) = right; second is () where there is one logarithm."""

    base: Quantity
    first: Coefficients
    second: Coefficients
    side: int
    right: Surd

    @property
    def inside(self) -> tuple[Coefficients, ...]:
        """What stands under logarithms."""
        return (self.first, self.second) if self.second else (self.first,)


def exponent_for(base: Quantity, argument: Quantity) -> Surd:
    """Return the rational r with base^r = argument.

    Raises:
        CannotBeWorked: there is none with a small denominator.
    """
    if not (isinstance(base, Surd) and isinstance(argument, Surd)):
        found = settled(over(logarithm(argument), logarithm(base)))
        if not isinstance(found, Surd) or not found.is_rational:
            raise CannotBeWorked
        return found
    if not (base.is_rational and argument.is_rational) or argument.real_sign() <= 0:
        raise CannotBeWorked
    for below in range(1, MAX_ROOT + 1):
        wanted = argument.as_fraction() ** below
        power, value = 0, Fraction(1)
        step = base.as_fraction()
        if step <= 0 or step == 1:
            raise CannotBeWorked
        up = (wanted > 1) == (step > 1)
        while value != wanted and abs(power) < 64 and (value < wanted) == (wanted > 1):
            value, power = (value * step, power + 1) if up else (value / step, power - 1)
        if value == wanted:
            return Surd.of(Fraction(power, below))
    raise CannotBeWorked


def evaluate_log(base: Quantity, argument: Quantity) -> Quantity | str:
    """Ask which power of the base the argument is."""
    if isinstance(argument, Surd) and (not argument.is_real or argument.real_sign() <= 0):
        return NO_SOLUTION
    try:
        return exponent_for(base, argument)
    except CannotBeWorked:
        return logarithm(argument, base)


def find_logarithm(step: Walk, start: Single) -> Quantity | str:
    """Find the value of a logarithm."""
    found = step.do(evaluate_log, Place.LOGARITHM, start.base, start.argument)
    return found if isinstance(found, str) else settled(found)


def combine_logs(start: Logarithms) -> tuple[Coefficients, Coefficients]:
    """Write a sum of logarithms as that of a product, a difference as that of a quotient."""
    if not start.second:
        return start.first, (Surd.of(1),)
    if start.side > 0:
        return multiplied(start.first, start.second), (Surd.of(1),)
    return start.first, start.second


def to_exponential(base: Quantity, right: Surd) -> Quantity:
    """From log(y) = right return y = base^right."""
    return raised(base, right)


def keep_positive(roots: op.Roots, inside: tuple[Coefficients, ...]) -> op.Roots:
    """Keep the roots for which every logarithm exists."""
    return frozenset(
        one for one in roots if all(value_at(part, one).real_sign() > 0 for part in inside)
    )


def carry_beyond(here: Quantity, there: Surd) -> Quantity:
    """Carry a constant across to a number that is no surd, such as e^2."""
    return minus(here, there)


def divide_beyond(right: Quantity, a: Surd) -> Quantity:
    """Divide a number that is no surd by the coefficient of the unknown."""
    return over(right, a)


def solve_logarithms(step: Walk, start: Logarithms) -> op.Roots | Node | str:
    """Combine the logarithms, write without logarithm, solve, check."""
    above, below = step.do(combine_logs, Place.LOGARITHM, start)
    value = step.do(to_exponential, Place.LOGARITHM, start.base, start.right)
    return solve_without_logarithm(step, above, below, value, start.inside)


def solve_without_logarithm(
    step: Walk,
    above: Coefficients,
    below: Coefficients,
    value: Quantity,
    inside: tuple[Coefficients, ...],
) -> op.Roots | Node | str:
    """Solve above/below = value, and keep what lies under logarithms positive."""
    value = settled(value)
    if not isinstance(value, Surd):
        return _beyond(step, above, below, value)
    difference = added(above, scaled(below, -value))
    roots = exact_roots(difference) if difference else None
    if roots is None:
        raise CannotBeWorked
    real = frozenset(one for one in roots if one.is_real)
    return step.do(keep_positive, Place.LOGARITHM, real, inside) or NO_SOLUTION


def _beyond(
    step: Walk, above: Coefficients, below: Coefficients, value: Quantity
) -> op.Roots | Node:
    """Solve a linear equation whose right side is no surd."""
    if len(above) != 2 or not 1 <= len(below) <= 2:
        raise CannotBeWorked
    (q, p), (d, c) = above, (*below, Surd.of(0))[:2]
    if c:
        top = minus(times(value, d), q)
        return solution(over(top, minus(p, times(value, c))))
    value = value if d == 1 else times(value, d)
    value = step.do(carry_beyond, Place.LOGARITHM, value, q) if q else value
    return solution(step.do(divide_beyond, Place.LOGARITHM, value, p) if p != 1 else value)


def is_logarithm(node: Node) -> TypeGuard[Call]:
    """Whether a node is a logarithm to any base."""
    return isinstance(node, Call) and node.name in ("log", "ln")


def base_of(call: Call) -> Quantity:
    """Return the base of a logarithm as written: ln, log or log_b.

    Raises:
        CannotBeWorked: it is no number.
    """
    if call.name == "ln":
        return EULER
    if call.base is None:
        return Surd.of(10)
    if letters(call.base):
        raise CannotBeWorked("the base is no number")
    return quantity_of(call.base)


def terms_with_logarithms(
    node: Node, letter: str
) -> tuple[Quantity | None, list[Term], Surd] | None:
    """See a side as multiples of logarithms to one base and a constant; None when it is not."""
    terms = multiples_of(node, is_logarithm)
    if terms is None:
        return None
    found: list[Term] = []
    bases, rest = set(), Surd.of(0)
    for factor, call in terms:
        inside = () if call is None else coefficients(call.arguments[0], letter)
        if call is None:
            rest = rest + factor
        elif inside:
            bases.add(base_of(call))
            found.append(Term(factor, inside))
        else:
            return None
    if len(bases) > 1 or (found and not is_positive_base(bases)):
        return None
    return (bases.pop() if bases else None), found, rest


def is_positive_base(bases: set[Quantity]) -> bool:
    """Whether the bases can be those of logarithms."""
    return all(one != Surd.of(1) and approximate(node_of(one)) > 0 for one in bases)
