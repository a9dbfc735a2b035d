"""Equations with the unknown in an exponent."""

from __future__ import annotations

from typing import NamedTuple, TypeGuard

from pipeline.errors import CannotBeWorked
from pipeline.exact.coefficients import Coefficients, added, roots_of
from pipeline.exact.numbers import Surd
from pipeline.exact.trees import Node, Power, Relation, letters
from pipeline.exact.values import Roots as Values
from pipeline.exact.values import number_of
from pipeline.procedures import operations as op
from pipeline.procedures.equations import (
    ONE,
    ZERO,
    Bracket,
    Equation,
    Linear,
    linear_of,
    multiples_of,
)
from pipeline.procedures.logarithms import exponent_for, solve_beyond
from pipeline.procedures.quadratic import solve_linear
from pipeline.procedures.quantities import (
    Quantity,
    approximate,
    logarithm,
    minus,
    node_of,
    over,
    quantity_of,
    settled,
    solution,
    times,
)
from pipeline.procedures.walk import NO_SOLUTION, Place, Plan, Walk


class Exponential(NamedTuple):
    """factor*base^(p*x + q) + rest = right."""

    factor: Surd
    base: Quantity
    exponent: Linear
    rest: Surd
    right: Surd


class TwoExponentials(NamedTuple):
    """first^left = second^right, both exponents linear."""

    first: Quantity
    left: Linear
    second: Quantity
    right: Linear


class InPowers(NamedTuple):
    """A polynomial in base^x equal to 0, coefficients lowest first."""

    base: Quantity
    numbers: Coefficients


def start_unwrapping(factor: Surd, base: Quantity, rest: Surd) -> tuple[Surd, Quantity, Surd]:
    """Leave factor*base^y + rest as it is until the power has been isolated."""
    return factor, base, rest


def match_exponents(base: Quantity, right: Surd) -> Quantity | str:
    """From base^y = right return y: the power that it is, or its logarithm."""
    if right.real_sign() <= 0:
        return NO_SOLUTION
    try:
        return exponent_for(base, right)
    except CannotBeWorked:
        return logarithm(right, base)


def solve_exponential(step: Walk, start: Exponential) -> op.Roots | Node | str:
    """Isolate the power, bring the exponent down, solve for the unknown."""
    factor, base, rest, right = start.factor, start.base, start.rest, start.right
    if factor != 1:
        factor, base, rest = step.do(start_unwrapping, Place.LOGARITHM, factor, base, rest)
    right = step.do(op.carry_constant, Place.LINEAR, right, rest) if rest else right
    right = step.do(op.divide, Place.LINEAR, right, factor) if factor != 1 else right
    value = step.do(match_exponents, Place.LOGARITHM, base, right)
    return value if isinstance(value, str) else _unknown(step, settled(value), start.exponent)


def _unknown(step: Walk, value: Quantity, exponent: Linear) -> op.Roots | Node:
    p, q = exponent
    if not isinstance(value, Surd):
        return solve_beyond(step, p, q, value)
    value = step.do(op.carry_constant, Place.LOGARITHM, value, q) if q else value
    return frozenset({step.do(op.divide, Place.LINEAR, value, p) if p != 1 else value})


def same_base(first: Quantity, second: Quantity) -> tuple[Surd, Surd]:
    """Return k and m, whole, with first = b^k and second = b^m for one base b.

    Raises:
        CannotBeWorked: there is none.
    """
    ratio = exponent_for(first, second)
    return Surd.of(ratio.denominator), ratio * ratio.denominator


def solve_two_exponentials(step: Walk, start: TwoExponentials) -> op.Roots | Node | str:
    """Write both sides as powers of one base, and set the exponents equal."""
    try:
        k, m = step.do(same_base, Place.LOGARITHM, start.first, start.second)
    except CannotBeWorked:
        return _by_logarithms(start)
    sides = tuple(
        (Bracket(k, one.p, one.q, True),) if k != 1 and one.q and one.p
        else (Bracket(ONE, k * one.p, k * one.q, False),)
        for k, one in ((k, start.left), (m, start.right))
    )  # fmt: skip
    left, right = ((ZERO, n * one.p, n * one.q) for n, one in ((k, start.left), (m, start.right)))
    return solve_linear(step, Equation(left, right, brackets=(sides[0], sides[1])))


def _by_logarithms(start: TwoExponentials) -> op.Roots | Node | str:
    one, two = logarithm(start.first), logarithm(start.second)
    top = minus(times(two, start.right.q), times(one, start.left.q))
    below = settled(minus(times(one, start.left.p), times(two, start.right.p)))
    if below == ZERO:
        return NO_SOLUTION
    return solution(over(top, below))


def undo_substitution(base: Quantity, roots: op.Roots) -> op.Roots | Values | Node | str:
    """From base^x = u return x for each root u; a power is never zero or negative."""
    kept = [one for one in roots if one.is_real and one.real_sign() > 0]
    values = [settled(found) for one in kept if not isinstance(
        found := match_exponents(base, one), str)]  # fmt: skip
    if not values:
        return NO_SOLUTION
    if all(isinstance(one, Surd) for one in values):
        return frozenset(one for one in values if isinstance(one, Surd))
    if len(values) == 1:
        return solution(values[0])
    return Values(tuple(number_of(node_of(one)) for one in values))


def solve_in_powers(step: Walk, start: InPowers) -> op.Roots | Values | Node | str:
    """Solve for the power, then for the unknown."""
    roots = roots_of(start.numbers)
    return step.do(undo_substitution, Place.LOGARITHM, start.base, roots)


def exponential_plans(relation: Relation, letter: str) -> list[Plan]:
    """Return the ways to solve an equation with the unknown in exponents."""
    first, second = relation.sides
    if letter not in letters(first):
        first, second = second, first
    left, right = _powers_of(first, letter), _powers_of(second, letter)
    if left is None or right is None or not left[0]:
        return []
    (terms, rest), (others, number) = left, right
    if len(terms) == 1 and not others:
        ((factor, power),) = terms
        base, exponent = power
        start = Exponential(factor, base, exponent, rest, number)
        return [Plan("exponential", solve_exponential, start)]
    if len(terms) == len(others) == 1 and rest == number == ZERO:
        (one, (b, p)), (two, (c, q)) = terms[0], others[0]
        both = TwoExponentials(b, p, c, q)
        return [Plan("two-exponentials", solve_two_exponentials, both)] if one == two else []
    try:
        return _in_powers([*terms, *((-one, power) for one, power in others)], rest - number)
    except CannotBeWorked:
        return []


_Term = tuple[Surd, tuple[Quantity, Linear]]


def _powers_of(node: Node, letter: str) -> tuple[list[_Term], Surd] | None:
    terms = multiples_of(node, _is_power)
    if terms is None:
        return None
    powers = [(factor, _power(power, letter)) for factor, power in terms if power is not None]
    return powers, sum((factor for factor, power in terms if power is None), ZERO)


def _is_power(node: Node) -> TypeGuard[Power]:
    return isinstance(node, Power) and not letters(node.base)


def _power(node: Power, letter: str) -> tuple[Quantity, Linear]:
    base, exponent = quantity_of(node.base), linear_of(node.exponent, letter)
    if exponent is None or not exponent.p or base == ONE or approximate(base) <= 0:
        raise CannotBeWorked("this power is not worked")
    return base, exponent


def _in_powers(terms: list[_Term], rest: Surd) -> list[Plan]:
    """See a sum such as 4^x - 2^x - 12 as a polynomial in the smallest power."""
    base = min((base for _, (base, _) in terms), key=approximate)
    numbers: Coefficients = (rest,) if rest else ()
    for factor, (other, (p, q)) in terms:
        times_over = exponent_for(base, other) * p if other != base else p
        if q or not times_over.is_integer or not 0 < times_over.as_fraction() <= 4:
            return []
        numbers = added(numbers, (*(ZERO,) * int(times_over.as_fraction()), factor))
    return [Plan("substitution", solve_in_powers, InPowers(base, numbers))]
