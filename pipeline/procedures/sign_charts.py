"""Where a polynomial, or a quotient of two, is positive or negative: regions of the number line."""

from __future__ import annotations

from typing import TypeAlias

from pipeline.errors import CannotBeWorked
from pipeline.exact.coefficients import Coefficients, exact_roots, value_at
from pipeline.exact.numbers import Surd
from pipeline.exact.regions import WHOLE_LINE, union, where, without_points
from pipeline.exact.regions import ray as ray_from
from pipeline.exact.values import Interval, Number, Region
from pipeline.procedures.walk import ALL_REAL, NO_SOLUTION

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

    return part_of_line(where(size, _real_roots(above), _real_roots(below), sign))


def _real_roots(numbers: Coefficients) -> set[Surd]:
    if len(numbers) <= 1:
        return set()
    roots = exact_roots(numbers)
    if roots is None:
        raise CannotBeWorked
    return {one for one in roots if one.is_real}


def closed_ends(region: Regional, is_open: bool) -> Regional:
    """Open or close every finite end of a region."""
    if not isinstance(region, Region):
        return region
    parts = [
        Interval(one.low, one.high, one.low is None or is_open, one.high is None or is_open)
        for one in region.parts
    ]
    return part_of_line(union(Region(tuple(parts))))
