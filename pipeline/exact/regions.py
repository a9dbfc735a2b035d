"""Unions and intersections of intervals, in canonical form."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable
from functools import cmp_to_key

from pipeline.exact.numbers import Surd
from pipeline.exact.values import Interval, Number, Region, number_key

WHOLE_LINE = Region((Interval(None, None, True, True),))
EMPTY_SET = Region(())


def compare(first: Number, second: Number) -> int:
    """Return -1, 0 or 1 by size.

    Raises:
        ValueError: a number is not real or has letters.
    """
    if first.surd is not None and second.surd is not None:
        return (first.surd - second.surd).real_sign()
    if number_key(first) == number_key(second):
        return 0
    left, right = _approximate(first), _approximate(second)
    return -1 if left < right else 1


def _approximate(number: Number) -> float:
    if number.surd is not None:
        return number.surd.approximate().real
    from pipeline.exact.numeric import NotNumeric, numeric_value

    try:
        value = complex(numeric_value(number.tree))
    except NotNumeric as error:
        raise ValueError(str(error)) from error
    if value.imag:
        raise ValueError("an end of an interval is not real")
    return value.real


def _by_low(first: Interval, second: Interval) -> int:
    if first.low is None or second.low is None:
        return (second.low is None) - (first.low is None)
    return compare(first.low, second.low) or int(first.left_open) - int(second.left_open)


def _is_empty(part: Interval) -> bool:
    if part.low is None or part.high is None:
        return False
    order = compare(part.low, part.high)
    return order > 0 or (order == 0 and (part.left_open or part.right_open))


def union(*regions: Region) -> Region:
    """Return the union: parts sorted, touching parts joined, empty parts dropped."""
    parts = [part for region in regions for part in region.parts if not _is_empty(part)]
    merged: list[Interval] = []
    for part in sorted(parts, key=cmp_to_key(_by_low)):
        if merged and _touches(merged[-1], part):
            merged[-1] = _joined(merged[-1], part)
        else:
            merged.append(part)
    return Region(tuple(merged))


def _touches(left: Interval, right: Interval) -> bool:
    if left.high is None or right.low is None:
        return True
    order = compare(right.low, left.high)
    return order < 0 or (order == 0 and not (left.right_open and right.left_open))


def _joined(left: Interval, right: Interval) -> Interval:
    if left.high is None or right.high is None:
        return Interval(left.low, None, left.left_open, True)
    order = compare(left.high, right.high)
    if order > 0:
        return left
    is_open = right.right_open and (order < 0 or left.right_open)
    return Interval(left.low, right.high, left.left_open, is_open)


def intersection(first: Region, second: Region) -> Region:
    """Return what two regions share."""
    return union(Region(tuple(_overlap(a, b) for a in first.parts for b in second.parts)))


def _overlap(first: Interval, second: Interval) -> Interval:
    low, left_open = _tighter(first.low, first.left_open, second.low, second.left_open, 1)
    high, right_open = _tighter(first.high, first.right_open, second.high, second.right_open, -1)
    return Interval(low, high, left_open, right_open)


def _tighter(
    first: Number | None, first_open: bool, second: Number | None, second_open: bool, side: int
) -> tuple[Number | None, bool]:
    if first is None:
        return second, second_open
    if second is None:
        return first, first_open
    order = compare(first, second) * side
    if order == 0:
        return first, first_open or second_open
    return (first, first_open) if order > 0 else (second, second_open)


def complement(region: Region) -> Region:
    """Return the real numbers outside a region."""
    result, low, left_open = [], None, True
    for part in region.parts:
        if part.low is not None:
            result.append(Interval(low, part.low, left_open, not part.left_open))
        if part.high is None:
            return union(Region(tuple(result)))
        low, left_open = part.high, not part.right_open
    result.append(Interval(low, None, left_open, True))
    return union(Region(tuple(result)))


def ray(sign: str, end: Number) -> Region:
    """Return the numbers x with `x sign end`, an inequality."""
    is_open = "=" not in sign
    if sign[0] == "<":
        return Region((Interval(None, end, True, is_open),))
    return Region((Interval(end, None, is_open, True),))


def single_points(numbers: Iterable[Number]) -> Region:
    """Return numbers as a region of single points."""
    return union(Region(tuple(Interval(number, number, False, False) for number in numbers)))


def without_points(region: Region, holes: Iterable[Number]) -> Region:
    """Take single numbers out of a region."""
    return intersection(region, complement(single_points(holes)))


def holds(size: int, sign: str) -> bool:
    """Whether a number of this sign (-1, 0, 1) stands so to zero."""
    if sign == "!=":
        return size != 0
    return (size < 0 and "<" in sign) or (size > 0 and ">" in sign) or (not size and "=" in sign)


def where(
    size: Callable[[Surd], int], zeros: Collection[Surd], poles: Collection[Surd], sign: str
) -> Region:
    """Return the numbers where a function stands to zero as a sign says.

    Args:
        size: the function's sign, -1, 0 or 1, at a number that is no pole.
        zeros: where it is zero.
        poles: where it has no value; between zeros and poles its sign does not change.
        sign: of a relation, such as `<=`.
    """
    ends = sorted({*zeros, *poles})
    parts = [
        Interval(
            None if low is None else Number.exactly(low),
            None if high is None else Number.exactly(high),
            left_open=True,
            right_open=True,
        )
        for low, high in zip([None, *ends], [*ends, None], strict=True)
        if holds(size(number_between(low, high)), sign)
    ]
    points = [one for one in ends if one not in poles] if holds(0, sign) else []
    return union(Region(tuple(parts)), single_points(map(Number.exactly, points)))


def number_between(low: Surd | None, high: Surd | None) -> Surd:
    """Return some number of an open interval."""
    if low is None:
        return Surd.of(0) if high is None else high - 1
    return low + 1 if high is None else (low + high) / 2
