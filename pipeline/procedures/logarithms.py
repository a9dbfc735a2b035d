"""Logarithms: their values, and equations with logarithms or with the unknown in an exponent."""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple

from pipeline.errors import BudgetExceeded
from pipeline.exact.evaluate import power_of, surd_of
from pipeline.exact.numbers import Surd
from pipeline.exact.trees import Call, Node, Power, Relation, letters
from pipeline.procedures import operations as op
from pipeline.procedures.equations import Coefficients, Linear, coefficients
from pipeline.procedures.isolating import Way, linear_of, terms_of
from pipeline.procedures.polynomial_roots import added, exact_roots, multiplied, scaled, value_at
from pipeline.procedures.statements import NO_SOLUTION
from pipeline.procedures.walk import Abandoned, Walk
from pipeline.reading.problems import Problem

__all__ = [
    "LOGARITHM",
    "Exponential",
    "Logarithms",
    "Single",
    "combine_logs",
    "evaluate_log",
    "exponent_for",
    "find_logarithm",
    "keep_positive",
    "logarithm_ways",
    "match_exponents",
    "solve_exponential",
    "solve_logarithms",
    "to_exponential",
]

LOGARITHM = "logarithm"
MAX_ROOT = 12
"""Largest denominator of a logarithm that is looked for."""


class Single(NamedTuple):
    """The logarithm of a number to a base."""

    base: Surd
    argument: Surd


class Logarithms(NamedTuple):
    """log(first) + side*log(second) = right; second is () where there is one logarithm."""

    base: Surd
    first: Coefficients
    second: Coefficients
    side: int
    right: Surd


class Exponential(NamedTuple):
    """base^(p*x + q) = right."""

    base: Surd
    exponent: Linear
    right: Surd


def exponent_for(base: Surd, argument: Surd) -> Surd:
    """Return the rational r with base^r = argument.

    Raises:
        Abandoned: there is none with a small denominator.
    """
    if not (base.is_rational and argument.is_rational) or argument.real_sign() <= 0:
        raise Abandoned
    for below in range(1, MAX_ROOT + 1):
        raised = argument.as_fraction() ** below
        power, value = 0, Fraction(1)
        step = base.as_fraction()
        if step <= 0 or step == 1:
            raise Abandoned
        up = (raised > 1) == (step > 1)
        while value != raised and abs(power) < 64 and (value < raised) == (raised > 1):
            value, power = (value * step, power + 1) if up else (value / step, power - 1)
        if value == raised:
            return Surd.of(Fraction(power, below))
    raise Abandoned


def evaluate_log(base: Surd, argument: Surd) -> Surd | str:
    """Ask which power of the base the argument is."""
    if not argument.is_real or argument.real_sign() <= 0:
        return NO_SOLUTION
    return exponent_for(base, argument)


def find_logarithm(step: Walk, start: Single) -> Surd | str:
    """Find the value of a logarithm."""
    return step.do(evaluate_log, LOGARITHM, start.base, start.argument)


def combine_logs(start: Logarithms) -> tuple[Coefficients, Coefficients]:
    """Write a sum of logarithms as that of a product, a difference as that of a quotient."""
    if not start.second:
        return start.first, (Surd.of(1),)
    if start.side > 0:
        return multiplied(start.first, start.second), (Surd.of(1),)
    return start.first, start.second


def to_exponential(base: Surd, right: Surd) -> Surd:
    """From log(y) = right return y = base^right."""
    if not right.is_rational:
        raise Abandoned
    found = power_of(base, right.as_fraction())
    if found is None:
        raise Abandoned
    return found


def keep_positive(roots: op.Roots, start: Logarithms) -> op.Roots:
    """Keep the roots for which every logarithm exists."""
    inside = [part for part in (start.first, start.second) if part]
    return frozenset(
        one for one in roots if all(value_at(part, one).real_sign() > 0 for part in inside)
    )


def solve_logarithms(step: Walk, start: Logarithms) -> op.Roots | str:
    """Combine the logarithms, write without logarithm, solve, check."""
    above, below = step.do(combine_logs, LOGARITHM, start)
    value = step.do(to_exponential, LOGARITHM, start.base, start.right)
    difference = added(above, scaled(below, -value))
    roots = exact_roots(difference) if difference else None
    if roots is None:
        raise Abandoned
    real = frozenset(one for one in roots if one.is_real)
    return step.do(keep_positive, LOGARITHM, real, start) or NO_SOLUTION


def match_exponents(base: Surd, right: Surd) -> Surd | str:
    """From base^y = right return y."""
    if right.real_sign() <= 0:
        return NO_SOLUTION
    return exponent_for(base, right)


def solve_exponential(step: Walk, start: Exponential) -> op.Roots | str:
    """Write both sides as powers of the base, and go on with the exponents."""
    value = step.do(match_exponents, LOGARITHM, start.base, start.right)
    if isinstance(value, str):
        return value
    p, q = start.exponent
    if q:
        value = step.do(op.carry_constant, LOGARITHM, value, q)
    return frozenset({step.do(op.divide, "linear equation", value, p) if p != 1 else value})


def logarithm_ways(problem: Problem) -> list[Way]:
    """Read `log_2(8)`, `log_2(x + 3) = 4`, `log(x) + log(x - 3) = 1` or `3^(2x) = 81`.

    Raises:
        BudgetExceeded: the problem is not of these kinds.
    """
    tree = problem.tree
    if isinstance(tree, Call) and tree.name == "log" and not letters(tree):
        argument = surd_of(tree.arguments[0])
        if argument is None:
            raise BudgetExceeded("the argument is no exact number")
        return [("logarithm", find_logarithm, Single(_base(tree), argument))]
    if isinstance(tree, Relation) and tree.signs == ("=",):
        return logarithmic_equation_ways(tree, problem.letter)
    raise BudgetExceeded("expected a logarithm, or an equation with one")


def logarithmic_equation_ways(relation: Relation, letter: str) -> list[Way]:
    """Return the ways to solve an equation with logarithms, or with the unknown in an exponent."""
    first, second = relation.sides
    if letter not in letters(first):
        first, second = second, first
    right = surd_of(second) if not letters(second) else None
    if right is None or not right.is_real:
        return []
    if isinstance(first, Power) and not letters(first.base):
        base, exponent = surd_of(first.base), linear_of(first.exponent, letter)
        if base is None or exponent is None or not exponent.p or base.real_sign() <= 0:
            return []
        return [("exponential", solve_exponential, Exponential(base, exponent, right))]
    start = _logarithms(first, letter, right)
    return [] if start is None else [("logarithms", solve_logarithms, start)]


def _logarithms(node: Node, letter: str, right: Surd) -> Logarithms | None:
    parts, bases, sides = [], set(), []
    for sign, term in terms_of(node):
        if not isinstance(term, Call) or term.name != "log":
            return None
        inside = coefficients(term.arguments[0], letter)
        if not inside:
            return None
        parts.append(inside)
        bases.add(_base(term))
        sides.append(1 if sign.real_sign() > 0 else -1)
    if len(bases) != 1 or not 1 <= len(parts) <= 2 or sides[0] < 0:
        return None
    second, side = (parts[1], sides[1]) if len(parts) == 2 else ((), 1)
    return Logarithms(bases.pop(), parts[0], second, side, right)


def _base(call: Call) -> Surd:
    base = Surd.of(10) if call.base is None else surd_of(call.base)
    if base is None:
        raise BudgetExceeded("the base is no exact number")
    return base
