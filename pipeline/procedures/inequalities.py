"""The ways to solve inequalities in one unknown: linear, chains, quadratic, by signs."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple, TypeAlias

from pipeline.errors import CannotBeWorked
from pipeline.exact.coefficients import Coefficients, real_roots, value_at
from pipeline.exact.numbers import Surd
from pipeline.exact.regions import WHOLE_LINE, holds, intersection, union, where, without_points
from pipeline.exact.regions import ray as ray_from
from pipeline.exact.trees import TURNED
from pipeline.exact.values import Interval, Number, Region
from pipeline.procedures import operations as op
from pipeline.procedures.equations import ZERO, Equation
from pipeline.procedures.quadratic import QUADRATIC, isolate_unknown
from pipeline.procedures.walk import ALL_REAL, NO_SOLUTION, Place, Walk

Regional: TypeAlias = Region | str
"""A region, or the statement that every number or none is in it."""


def part_of_line(region: Region) -> Regional:
    """Return a region, the whole line and the empty set as statements."""
    if not region.parts:
        return NO_SOLUTION
    whole = len(region.parts) == 1 and region.parts[0].low is None and region.parts[0].high is None
    return ALL_REAL if whole else region


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


def without(region: Regional, points: frozenset[Surd]) -> Regional:
    """Take single numbers out of a region."""
    if region == NO_SOLUTION or not points:
        return region
    whole = region if isinstance(region, Region) else WHOLE_LINE
    return part_of_line(without_points(whole, map(Number.exactly, points)))


def real_sorted(roots: frozenset[Surd]) -> list[Surd]:
    """Return the real ones of some numbers, smallest first."""
    return sorted(one for one in roots if one.is_real)


def region_where(above: Coefficients, below: Coefficients, sign: str) -> Regional:
    """Return where above/below stands to zero as the sign says.

    Raises:
        CannotBeWorked: a boundary is no surd.
    """

    def size(x: Surd) -> int:
        return value_at(above, x).real_sign() * value_at(below, x).real_sign()

    return part_of_line(where(size, real_roots(above), real_roots(below), sign))


def closed_ends(region: Regional, is_open: bool) -> Regional:
    """Open or close every finite end of a region."""
    if not isinstance(region, Region):
        return region
    parts = [
        Interval(one.low, one.high, one.low is None or is_open, one.high is None or is_open)
        for one in region.parts
    ]
    return part_of_line(union(Region(tuple(parts))))


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


def report_region(region: Regional, boundaries: frozenset[Surd]) -> Regional:
    """Write down the solution set; `boundaries` are the solutions of the equation."""
    return region


def solve_linear_inequality(step: Walk, start: Comparison) -> object:
    """Work as with an equation, and turn the sign where it has to be turned."""
    a, right = isolate_unknown(step, start.equation)
    if not a:
        return ALL_REAL if holds(-right.real_sign(), start.sign) else NO_SOLUTION
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
    region = part_of_line(intersection(ray(flipped, low), ray(second, high)))
    return step.do(report_region, Place.CHAIN, region, frozenset({low, high}))


def choose_region(roots: tuple[Surd, ...], sign: str, written: str) -> Regional:
    """Choose the numbers between or outside the roots of an upward parabola.

    Args:
        roots: real roots, smallest first: none, one or two.
        sign: how the parabola is to stand to zero.
        written: `square` where the unknown occurs only squared, else empty.
    """
    is_open = "=" not in sign
    if len(roots) == 2:
        choose = between if sign[0] == "<" else outside
        return part_of_line(choose(roots[0], roots[1], is_open))
    if not roots:
        return ALL_REAL if sign[0] == ">" else NO_SOLUTION
    if sign == "<":
        return NO_SOLUTION
    if sign == "<=":
        return between(roots[0], roots[0], False)
    return outside(roots[0], roots[0], True) if is_open else ALL_REAL


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


def clear_denominator(start: SignedFraction) -> Regional | None:
    """Decide not to multiply by an expression whose sign is not known."""
    return None


def solve_by_signs(step: Walk, start: SignedFraction) -> object:
    """Find zeros and poles, and look at the sign in each of the intervals between them."""
    early = step.do(clear_denominator, Place.SIGN_CHART, start)
    if early is not None:
        return early
    region = region_where(start.above, start.below, start.sign)
    return step.do(report_region, Place.SIGN_CHART, region, real_roots(start.above))
