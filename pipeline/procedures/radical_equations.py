"""Equations with square roots, and with one power that is undone by another."""

from __future__ import annotations

from typing import NamedTuple

from pipeline.errors import CannotBeWorked
from pipeline.exact.coefficients import (
    Coefficients,
    added,
    multiplied,
    real_roots,
    scaled,
    value_at,
)
from pipeline.exact.evaluate import root_of
from pipeline.exact.numbers import Surd
from pipeline.procedures import operations as op
from pipeline.procedures.equations import ONE, ZERO, Linear
from pipeline.procedures.walk import NO_SOLUTION, Place, Walk

_MINUS = Surd.of(-1)


class Radical(NamedTuple):
    """The equation k*sqrt(inside) + rest = right, all three polynomials by degree."""

    k: Surd
    inside: Coefficients
    rest: Coefficients
    right: Coefficients


class TwoRadicals(NamedTuple):
    """The equation sqrt(first) + side*sqrt(second) = constant, where side is 1 or -1."""

    first: Coefficients
    second: Coefficients
    side: Surd
    constant: Surd


class Powered(NamedTuple):
    """The equation k*(p*x + q)^(above/below) + rest = right."""

    k: Surd
    inside: Linear
    above: int
    below: int
    rest: Surd
    right: Surd


Sides = tuple[Coefficients, Coefficients]
"""Both sides of an equation between polynomials."""


def square_at_once(start: Radical) -> Sides | None:
    """Decide to isolate the radical before squaring."""
    return None


def isolate_radical(start: Radical) -> Coefficients:
    """Carry all terms but the radical to the other side."""
    return added(start.right, scaled(start.rest, _MINUS))


def square_sides(k: Surd, inside: Coefficients, other: Coefficients) -> Sides:
    """Square k*sqrt(inside) = other."""
    return scaled(inside, k * k), multiplied(other, other)


def solve_squared(sides: Sides) -> op.Roots:
    """Solve an equation between polynomials over the real numbers."""
    difference = added(sides[0], scaled(sides[1], _MINUS))
    if not difference:
        raise CannotBeWorked
    return real_roots(difference)


def keep_solutions(roots: op.Roots, k: Surd, inside: Coefficients, other: Coefficients) -> op.Roots:
    """Keep the roots that solve k*sqrt(inside) = other itself; wrong roots are not checked."""
    if roots != _squared_roots(k, inside, other):
        return roots
    return frozenset(one for one in roots if (k * value_at(other, one)).real_sign() >= 0)


def _squared_roots(k: Surd, inside: Coefficients, other: Coefficients) -> op.Roots | None:
    try:
        return solve_squared(square_sides(k, inside, other))
    except CannotBeWorked:
        return None


def solve_radical(step: Walk, start: Radical) -> op.Roots | str:
    """Isolate the radical, square both sides, solve, and check the roots."""
    true_other = isolate_radical(start)
    sides = step.do(square_at_once, Place.RADICAL_EQUATION, start)
    if sides is None:
        other = _other_side(step, start)
        sides = step.do(square_sides, Place.RADICAL_EQUATION, start.k, start.inside, other)
    roots = step.do(solve_squared, Place.RADICAL_EQUATION, sides)
    kept = step.do(keep_solutions, Place.RADICAL_EQUATION, roots, start.k, start.inside, true_other)
    return step.do(op.report, Place.RADICAL_EQUATION, kept) if kept else NO_SOLUTION


def _other_side(step: Walk, start: Radical) -> Coefficients:
    """Isolate; with constants alone as with any constant that is carried across."""
    if len(start.rest) == 1 and len(start.right) <= 1:
        here = start.right[0] if start.right else Surd.of(0)
        moved = step.do(op.carry_constant, Place.RADICAL_EQUATION, here, start.rest[0])
        return (moved,) if moved else ()
    if start.rest:
        return step.do(isolate_radical, Place.RADICAL_EQUATION, start)
    return start.right


def square_two(start: TwoRadicals) -> Radical:
    """Square sqrt(first) = constant - side*sqrt(second): one radical is left."""
    square = (start.constant * start.constant,)
    rest = added(start.second, square)
    return Radical(-2 * start.constant * start.side, start.second, rest, start.first)


def solve_two_radicals(step: Walk, start: TwoRadicals) -> op.Roots | str:
    """Square twice, and check the roots in the equation as it was."""
    one = step.do(square_two, Place.RADICAL_EQUATION, start)
    if not one.k:
        sides: Sides = (one.rest, one.right)
    else:
        other = isolate_radical(one)
        sides = step.do(square_sides, Place.RADICAL_EQUATION, one.k, one.inside, other)
    roots = step.do(solve_squared, Place.RADICAL_EQUATION, sides)
    kept = _kept_of_two(roots, start)
    return step.do(op.report, Place.RADICAL_EQUATION, kept) if kept else NO_SOLUTION


def _kept_of_two(roots: op.Roots, start: TwoRadicals) -> op.Roots:
    """Keep the solutions; where no root is one, the student has checked none."""
    kept = frozenset(one for one in roots if _solves(one, start))
    genuine = square_two(start)
    squared = _squared_roots(genuine.k, genuine.inside, isolate_radical(genuine))
    return kept if kept or roots == squared else roots


def _solves(x: Surd, start: TwoRadicals) -> bool:
    first, second = value_at(start.first, x), value_at(start.second, x)
    if first.real_sign() < 0 or second.real_sign() < 0:
        return False
    one, two = Surd.root_of(first), Surd.root_of(second)
    return one is not None and two is not None and one + start.side * two == start.constant


def raise_both(right: Surd, above: int, below: int) -> tuple[Surd, ...]:
    """From y^(above/below) = right return all real y."""
    sign = right.real_sign()
    if sign < 0 and (above % 2 == 0 or below % 2 == 0):
        return ()
    root = root_of(right if above % 2 or sign >= 0 else -right, above)
    if root is None or not root.is_real:
        raise CannotBeWorked
    value = root**below
    if above % 2 == 0 and value:
        return (value, -value) if below % 2 else (value,)
    return (value,)


def solve_power(step: Walk, start: Powered) -> op.Roots | str:
    """Isolate the power, raise both sides to the reciprocal exponent, go on to the unknown."""
    right = start.right
    if start.rest:
        right = step.do(op.carry_constant, Place.POWER_EQUATION, right, start.rest)
    if start.k != ONE:
        right = step.do(op.divide, Place.LINEAR, right, start.k)
    place = Place.BARE_POWER if start.inside == Linear(ONE, ZERO) else Place.POWER_EQUATION
    values = step.do(raise_both, place, right, start.above, start.below)
    if not values:
        return NO_SOLUTION
    p, q = start.inside
    if q:
        moved = step.do(op.shift_back, Place.SQUARE_ROOT, q)
        values = tuple(one + moved for one in values)
    if p != ONE:
        values = step.do(op.divide_each, Place.SQUARE_ROOT, values, p)
    return step.do(op.report, Place.POWER_EQUATION, frozenset(values))
