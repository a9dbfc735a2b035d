"""The ways to solve inequalities in one unknown: linear, chains, quadratic, by signs."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from pipeline.errors import CannotBeWorked
from pipeline.exact.coefficients import Coefficients, real_roots, value_at
from pipeline.exact.numbers import Surd
from pipeline.exact.regions import (
    EMPTY_SET,
    WHOLE_LINE,
    holds,
    intersection,
    union,
    where,
    without_points,
)
from pipeline.exact.regions import ray as ray_from
from pipeline.exact.trees import TURNED
from pipeline.exact.values import Interval, Number, Region
from pipeline.procedures import operations as op
from pipeline.procedures.equations import ZERO, Equation
from pipeline.procedures.quadratic import QUADRATIC, isolate_unknown
from pipeline.procedures.walk import Place, Walk


def ray(sign: str, end: Surd) -> Region:
    """Return the numbers x with `x sign end`."""
    return ray_from(sign, Number.exactly(end))


def between(low: Surd, high: Surd, is_open: bool) -> Region:
    """Return the numbers between two ends; empty when they stand the wrong way round."""
    inner = Interval(Number.exactly(low), Number.exactly(high), is_open, is_open)
    return union(Region((inner,)))


def outside(low: Surd, high: Surd, is_open: bool) -> Region:
    """Return the numbers below the one end or above the other."""
    below, above = ("<", ">") if is_open else ("<=", ">=")
    return union(ray(below, low), ray(above, high))


def all_but(points: frozenset[Surd]) -> Region:
    """Return the line without single numbers."""
    return without_points(WHOLE_LINE, map(Number.exactly, points))


def real_sorted(roots: frozenset[Surd]) -> list[Surd]:
    """Return the real ones of some numbers, smallest first."""
    return sorted(one for one in roots if one.is_real)


def region_where(above: Coefficients, below: Coefficients, sign: str) -> Region:
    """Return where above/below stands to zero as the sign says.

    Raises:
        CannotBeWorked: a boundary is no surd.
    """

    def size(x: Surd) -> int:
        return value_at(above, x).real_sign() * value_at(below, x).real_sign()

    return where(size, real_roots(above), real_roots(below), sign)


def closed_ends(region: Region, is_open: bool) -> Region:
    """Open or close every finite end of a region."""
    parts = [
        Interval(one.low, one.high, one.low is None or is_open, one.high is None or is_open)
        for one in region.parts
    ]
    return union(Region(tuple(parts)))


class Comparison(NamedTuple):
    """An inequality of degree 1 or 2: the equation that it would be, and its sign."""

    equation: Equation
    sign: str


class Chain(NamedTuple):
    """The chain low `signs[0]` p*x + q `signs[1]` high, both signs in the same direction."""

    low: Surd
    p: Surd
    q: Surd
    high: Surd
    signs: tuple[str, str]


class SignedFraction(NamedTuple):
    """The inequality above/below `sign` 0 between polynomials."""

    above: Coefficients
    below: Coefficients
    sign: str


def turn_sign(sign: str, divisor: Surd, least: Surd) -> str:
    """Turn the inequality sign where both sides are divided by a negative number.

    `least` is the least number that occurs, 0 where none of them is looked at.
    """
    return TURNED[sign] if divisor.real_sign() < 0 else sign


def report_region(region: Region, boundaries: frozenset[Surd]) -> Region:
    """Write down the solution set; `boundaries` are the solutions of the equation."""
    return region


def solve_linear_inequality(step: Walk, start: Comparison) -> object:
    """Work as with an equation, and turn the sign where it has to be turned."""
    a, right = isolate_unknown(step, start.equation)
    if not a:
        return WHOLE_LINE if holds(-right.real_sign(), start.sign) else EMPTY_SET
    a = step.do(op.coefficient_of_unknown, Place.LINEAR_INEQUALITY, a)
    value = step.do(op.divide, Place.LINEAR, right, a)
    least = min(right, *start.equation.left, *start.equation.right)
    sign = step.do(turn_sign, Place.LINEAR_INEQUALITY, start.sign, a, least)
    return step.do(report_region, Place.LINEAR_INEQUALITY, ray(sign, value), frozenset({value}))


def carry_to_ends(low: Surd, high: Surd, q: Surd) -> tuple[Surd, Surd]:
    """Subtract the constant of the middle from both ends."""
    return low - q, high - q


def divide_ends(low: Surd, high: Surd, p: Surd) -> tuple[Surd, Surd]:
    """Divide both ends by the number before the unknown."""
    return low / p, high / p


def solve_chain(step: Walk, chain: Chain) -> object:
    """Do the same to all three parts of a chain."""
    low, high = chain.low, chain.high
    if chain.q:
        low, high = step.do(carry_to_ends, Place.CHAIN, low, high, chain.q)
    if chain.p != 1:
        low, high = step.do(divide_ends, Place.CHAIN, low, high, chain.p)
    first, second = (step.do(turn_sign, Place.CHAIN, sign, chain.p, ZERO) for sign in chain.signs)
    flipped = TURNED[first]
    region = intersection(ray(flipped, low), ray(second, high))
    return step.do(report_region, Place.CHAIN, region, frozenset({low, high}))


def choose_region(roots: tuple[Surd, ...], sign: str, written: str) -> Region:
    """Choose the numbers between or outside the roots of an upward parabola.

    Args:
        roots: real roots, smallest first: none, one or two.
        sign: how the parabola is to stand to zero.
        written: `square` where the unknown occurs only squared, else empty.
    """
    is_open = "=" not in sign
    if len(roots) == 2:
        choose = between if sign[0] == "<" else outside
        return choose(roots[0], roots[1], is_open)
    if not roots:
        return WHOLE_LINE if sign[0] == ">" else EMPTY_SET
    if sign == "<":
        return EMPTY_SET
    if sign == "<=":
        return between(roots[0], roots[0], False)
    return outside(roots[0], roots[0], True) if is_open else WHOLE_LINE


def quadratic_inequality_by(method: str) -> Callable[[Walk, Comparison], object]:
    """Return the procedure that finds the roots by a method and then chooses the region."""
    find = QUADRATIC[method]

    def solve(step: Walk, start: Comparison) -> object:
        equation = start.equation
        a, b, c = equation.zero_form
        roots = find(step, equation)
        double = not (b * b - 4 * a * c)
        if not isinstance(roots, frozenset) or (len(roots) == 1) is not double:
            raise CannotBeWorked
        sign = step.do(turn_sign, Place.QUADRATIC_INEQUALITY, start.sign, a, ZERO)
        written = "square" if not b and not equation.factors else ""
        real = tuple(real_sorted(roots))
        region = step.do(choose_region, Place.QUADRATIC_INEQUALITY, real, sign, written)
        return step.do(report_region, Place.QUADRATIC_INEQUALITY, region, frozenset(real))

    return solve


def clear_denominator(start: SignedFraction) -> Region | None:
    """Decide not to multiply by an expression whose sign is not known."""
    return None


def solve_by_signs(step: Walk, start: SignedFraction) -> object:
    """Find zeros and poles, and look at the sign in each of the intervals between them."""
    early = step.do(clear_denominator, Place.SIGN_CHART, start)
    if early is not None:
        return early
    region = region_where(start.above, start.below, start.sign)
    return step.do(report_region, Place.SIGN_CHART, region, real_roots(start.above))
