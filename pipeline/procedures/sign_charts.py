"""Where a polynomial, or a quotient of two, is positive or negative: regions of the number line."""

from __future__ import annotations

from functools import cmp_to_key
from typing import TypeAlias

from pipeline.errors import CannotBeWorked
from pipeline.exact.numbers import Surd
from pipeline.exact.regions import complement, intersection, union
from pipeline.exact.values import Interval, Number, Region
from pipeline.procedures.equations import ONE, Coefficients
from pipeline.procedures.polynomial_roots import exact_roots, value_at
from pipeline.procedures.statements import ALL_REAL, NO_SOLUTION

__all__ = [
    "TURNED",
    "Regional",
    "between",
    "closed_ends",
    "holds",
    "outside",
    "part_of_line",
    "ray",
    "real_sorted",
    "region_where",
    "without",
]

Regional: TypeAlias = Region | str
"""A region, or the statement that every number or none is in it."""

TURNED = {"<": ">", ">": "<", "<=": ">=", ">=": "<="}
"""An inequality sign and the sign when both sides change places."""


def part_of_line(region: Region) -> Regional:
    """Return a region, the whole line and the empty set as statements."""
    if not region.parts:
        return NO_SOLUTION
    whole = len(region.parts) == 1 and region.parts[0].low is None and region.parts[0].high is None
    return ALL_REAL if whole else region


def ray(sign: str, end: Surd) -> Region:
    """Return the numbers x with `x sign end`."""
    number, is_open = Number.exactly(end), "=" not in sign
    if sign[0] == "<":
        return Region((Interval(None, number, True, is_open),))
    return Region((Interval(number, None, is_open, True),))


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
    whole = region if isinstance(region, Region) else Region((Interval(None, None, True, True),))
    holes = [Interval(Number.exactly(one), Number.exactly(one), False, False) for one in points]
    return part_of_line(intersection(whole, complement(union(Region(tuple(holes))))))


def real_sorted(roots: frozenset[Surd]) -> list[Surd]:
    """Return the real ones of some numbers, smallest first."""
    real = [one for one in roots if one.is_real]
    return sorted(real, key=cmp_to_key(_order))


def _order(one: Surd, two: Surd) -> int:
    return (one - two).real_sign()


def holds(size: int, sign: str) -> bool:
    """Whether a number of this sign (-1, 0, 1) stands so to zero."""
    return {"<": size < 0, ">": size > 0, "<=": size <= 0, ">=": size >= 0}[sign]


def region_where(above: Coefficients, below: Coefficients, sign: str) -> Regional:
    """Return where above/below stands to zero as the sign says.

    Raises:
        CannotBeWorked: a boundary is no surd.
    """
    zeros, poles = _real_roots(above), _real_roots(below)
    ends = real_sorted(frozenset(zeros | poles))
    parts: list[Interval] = []
    for low, high in zip([None, *ends], [*ends, None], strict=True):
        inner = _inner(low, high)
        size = value_at(above, inner).real_sign() * value_at(below, inner).real_sign()
        if holds(size, sign):
            parts.append(Interval(_number(low), _number(high), True, True))
    if "=" in sign:
        parts += [_point(end) for end in ends if end in zeros and end not in poles]
    return part_of_line(union(Region(tuple(parts))))


def _real_roots(numbers: Coefficients) -> set[Surd]:
    if len(numbers) <= 1:
        return set()
    roots = exact_roots(numbers)
    if roots is None:
        raise CannotBeWorked
    return {one for one in roots if one.is_real}


def _number(end: Surd | None) -> Number | None:
    return None if end is None else Number.exactly(end)


def _point(end: Surd) -> Interval:
    return Interval(Number.exactly(end), Number.exactly(end), False, False)


def _inner(low: Surd | None, high: Surd | None) -> Surd:
    """Return a number inside an open interval."""
    if low is not None and high is not None:
        return (low + high) / 2
    if low is not None:
        return low + ONE
    return Surd.of(0) if high is None else high - ONE


def closed_ends(region: Regional, is_open: bool) -> Regional:
    """Open or close every finite end of a region."""
    if not isinstance(region, Region):
        return region
    parts = [
        Interval(one.low, one.high, one.low is None or is_open, one.high is None or is_open)
        for one in region.parts
    ]
    return part_of_line(union(Region(tuple(parts))))
