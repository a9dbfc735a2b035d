"""Whether two values are the same answer, exactly where possible, and how decimals compare."""

from __future__ import annotations

from typing import cast

from pipeline.exact.trees import Call, Letter, Negation, Node, Relation, Sum, letters, replaced
from pipeline.exact.values import (
    Equation,
    Expression,
    Number,
    Point,
    Points,
    Region,
    Roots,
    Value,
    value_key,
)
from pipeline.reading.decimals import (
    DIFFERENT,
    SAME,
    Match,
    Matched,
    compare_by_digits,
    compare_numbers,
)

__all__ = ["Match", "Matched", "compare_values", "same_letters"]


def compare_values(value: Value, right: Value, min_places: int = 2) -> Matched:
    """Compare a typed value with a right one.

    Args:
        value: what was read.
        right: what is right.
        min_places: fewest decimals that prove anything.
    """
    if value_key(value) == value_key(right):
        return SAME
    first, second = _members(value), _members(right)
    if first is not None and second is not None:
        return _as_sets(first, second, min_places)
    ordered = _in_order(value, right)
    if ordered is not None:
        return _point(ordered[0], ordered[1], min_places)
    if isinstance(value, Point | Points) and isinstance(right, Point | Points):
        return _points(value, right, min_places)
    if isinstance(value, Region) and isinstance(right, Region):
        return _regions(value, right, min_places)
    return _expressions(value, right)


def _members(value: Value) -> tuple[Number, ...] | None:
    if isinstance(value, Number):
        return (value,)
    return value.members if isinstance(value, Roots) else None


def _as_sets(first: tuple[Number, ...], second: tuple[Number, ...], min_places: int) -> Matched:
    """Match every typed number with a right one and leave none over."""
    open_right, worst, remark = _distinct(second), Match.EQUAL, None
    typed = _distinct(first)
    if len(typed) != len(open_right):
        return DIFFERENT
    for number in typed:
        best, place = DIFFERENT, -1
        for index, candidate in enumerate(open_right):
            found = compare_numbers(number, candidate, min_places)
            if found.match > best.match:
                best, place = found, index
        if place < 0:
            return DIFFERENT
        del open_right[place]
        worst, remark = min(worst, best.match), remark or best.remark
    return Matched(worst, remark)


def _in_order(value: Value, right: Value) -> tuple[Point, Point] | None:
    """A list stands for a point with its numbers in that order: `2, -3` for (2, -3)."""
    if isinstance(value, Roots) and isinstance(right, Point):
        return Point(value.members), right
    return None


def _distinct(numbers: tuple[Number, ...]) -> list[Number]:
    return list({value_key(number): number for number in numbers}.values())


def _points(value: Point | Points, right: Point | Points, min_places: int) -> Matched:
    first = value.members if isinstance(value, Points) else (value,)
    second = list(right.members if isinstance(right, Points) else (right,))
    if len(set(map(value_key, first))) != len(set(map(value_key, second))):
        return DIFFERENT
    worst, remark = Match.EQUAL, None
    for point in first:
        found = max((_point(point, other, min_places) for other in second), key=lambda m: m.match)
        worst, remark = min(worst, found.match), remark or found.remark
    return Matched(worst, remark)


def _point(value: Point, right: Point, min_places: int) -> Matched:
    if len(value.coordinates) != len(right.coordinates):
        return DIFFERENT
    pairs = zip(value.coordinates, right.coordinates, strict=True)
    return _worst([compare_numbers(typed, other, min_places) for typed, other in pairs])


def _worst(found: list[Matched]) -> Matched:
    remark = next((one.remark for one in found if one.remark), None)
    return Matched(min(one.match for one in found), remark)


def _regions(value: Region, right: Region, min_places: int) -> Matched:
    if len(value.parts) != len(right.parts) or not value.parts:
        return DIFFERENT
    found: list[Matched] = []
    for part, other in zip(value.parts, right.parts, strict=True):
        if (part.left_open, part.right_open) != (other.left_open, other.right_open):
            return DIFFERENT
        for end, right_end in ((part.low, other.low), (part.high, other.high)):
            if (end is None) != (right_end is None):
                return DIFFERENT
            if end is not None and right_end is not None:
                found.append(compare_numbers(end, right_end, min_places))
    return _worst(found) if found else SAME


def _expressions(value: Value, right: Value) -> Matched:
    """Compare what holds letters; `y = …` and `f(x) = …` stand for their right sides.

    An equation `y = 2` is a line: where it labels a value, the value was read.
    """
    first, second = _tree(value, right), _tree(right, value)
    if first is None or second is None:
        return _equations(value, right)
    if value_key(Expression(first)) == value_key(Expression(second)):
        return SAME
    if value_key(Expression(first)).startswith("~") or value_key(Expression(second)).startswith(
        "~"
    ):
        return compare_by_digits(first, second)
    return DIFFERENT


def _tree(value: Value, other: Value) -> Node | None:
    if isinstance(value, Expression | Number):
        return value.tree
    if isinstance(value, Roots) and len(value.members) == 1:
        return value.members[0].tree
    if isinstance(value, Equation) and value.relation.signs == ("=",):
        left, right = value.relation.sides
        mirrored = isinstance(right, Letter | Call) and not isinstance(left, Letter | Call)
        if mirrored and letters(left):
            left, right = right, left
        if isinstance(left, Call):
            return right
        of_call = isinstance(other, Equation) and isinstance(other.relation.sides[0], Call)
        says_more = letters(right) and not isinstance(other, Equation)
        named = isinstance(left, Letter) and left.name not in letters(right)
        if named and (of_call or says_more):
            return right
    return None


def same_letters(value: Value, right: Value) -> Value | None:
    """Return a value with its letters renamed to those of the right one, or None.

    Only a single unknown, or letters that differ in case alone, are renamed.
    """
    first, second = _names(value), _names(right)
    if first == second or len(first) != len(second):
        return None
    if first | second == {"x", "y"} and _is_upright(value) and _is_upright(right):
        return None
    if len(first) == 1:
        renamed = {next(iter(first)): next(iter(second))}
    else:
        by_case = {name.lower(): name for name in second}
        renamed = {name: by_case.get(name.lower(), "") for name in first}
        if "" in renamed.values() or len(set(renamed.values())) < len(renamed):
            return None
    values = tuple((name, Letter(other)) for name, other in renamed.items())
    if isinstance(value, Expression):
        return Expression(replaced(value.tree, values))
    if isinstance(value, Equation):
        return Equation(cast("Relation", replaced(value.relation, values)))
    return None


def _is_upright(value: Value) -> bool:
    """Whether an equation is that of a line along an axis: x = 3 is not y = 3."""
    return isinstance(value, Equation) and isinstance(value.relation.sides[0], Letter)


def _names(value: Value) -> frozenset[str]:
    if isinstance(value, Expression):
        return letters(value.tree)
    return letters(value.relation) if isinstance(value, Equation) else frozenset()


def _equations(value: Value, right: Value) -> Matched:
    if not (isinstance(value, Equation) and isinstance(right, Equation)):
        return DIFFERENT
    if value.relation.signs != right.relation.signs or len(value.relation.signs) != 1:
        return DIFFERENT
    first, second = (
        Sum((one.relation.sides[0], Negation(one.relation.sides[1]))) for one in (value, right)
    )
    if letters(first) != letters(second):
        return DIFFERENT
    keys = value_key(value), value_key(right)
    if any(key.startswith("~") for key in keys):
        return compare_by_digits(first, second)
    return DIFFERENT
