"""Whether two values are the same answer, exactly where possible, and how decimals compare.

A typed decimal is judged by the places given.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum
from fractions import Fraction
from typing import cast

from pipeline.errors import BudgetExceeded
from pipeline.exact.evaluate import surd_of, tree_of_surd
from pipeline.exact.numbers import Surd
from pipeline.exact.trees import (
    Call,
    Letter,
    Node,
    Numeral,
    Relation,
    changed,
    is_decimal,
    letters,
    nodes,
    replaced,
)
from pipeline.exact.values import (
    Equation,
    Expression,
    Number,
    Point,
    Points,
    Region,
    Roots,
    Value,
    complex_places,
    members_of,
    tree_key,
    value_key,
)

NUMERIC = "equal to 50 digits; not proved exactly"
CUT = "a decimal that was cut off, not rounded"
ROUNDED = "a rounded decimal"


class Match(IntEnum):
    """How near a value comes to the right one, best last."""

    DIFFERENT = 0
    TOO_COARSE = 1
    EQUAL = 2


@dataclass(frozen=True, slots=True)
class Matched:
    """The outcome of one comparison and what to say about it."""

    match: Match
    remark: str | None = None


SAME = Matched(Match.EQUAL)
DIFFERENT = Matched(Match.DIFFERENT)


def _decimals(typed: Number, right: Number, min_places: int) -> Matched:
    """Judge a typed decimal by the places given."""
    difference = _difference(typed, right)
    if difference is None or typed.places is None or typed.surd is None:
        return DIFFERENT
    gap = -difference if difference.real_sign() < 0 else difference
    unit = Fraction(1, 10**typed.places)
    if typed.places < min_places:
        return Matched(Match.TOO_COARSE) if gap <= unit / 2 else DIFFERENT
    if gap <= unit / 2:
        return Matched(Match.EQUAL, ROUNDED)
    cut = gap < unit and difference.real_sign() == (-1 if typed.surd.real_sign() >= 0 else 1)
    return Matched(Match.EQUAL, CUT) if cut else DIFFERENT


def _complex_decimals(typed: Number, right: Number, min_places: int) -> Matched:
    """Judge the real and the imaginary part of `-1 + 1.41i`, each by the places given."""
    if typed.surd is None or right.surd is None or typed.surd.is_real:
        return DIFFERENT
    parts = complex_places(typed.tree)
    if parts is None:
        return DIFFERENT
    pairs = zip(_parts_of(typed.surd), _parts_of(right.surd), parts, strict=True)
    return _worst([_part(mine, other, places, min_places) for mine, other, places in pairs])


def _worked_out(typed: Number, right: Number, min_places: int) -> Matched | None:
    """Judge `(-1 + 1.414)/2` by what its one decimal may have been rounded or cut from.

    Returns None where no decimal, or more than one, stands inside.
    """
    decimals = [one for one in nodes(typed.tree) if is_decimal(one)]
    exact = right.surd
    if len(decimals) != 1 or exact is None or not exact.is_real or letters(typed.tree):
        return None
    (decimal,) = decimals
    unit = Fraction(1, 10 ** (decimal.places or 0))
    shifts = (-unit / 2, unit / 2, Fraction(0), unit)
    low, high, here, cut = (surd_of(_shifted(typed.tree, decimal, shift)) for shift in shifts)
    if _is_between(exact, low, high):
        coarse = (decimal.places or 0) < min_places
        return Matched(Match.TOO_COARSE) if coarse else Matched(Match.EQUAL, ROUNDED)
    is_cut = (decimal.places or 0) >= min_places and cut != exact and _is_between(exact, here, cut)
    return Matched(Match.EQUAL, CUT) if is_cut else DIFFERENT


def _shifted(tree: Node, decimal: Numeral, by: Fraction) -> Node:
    other = Numeral(decimal.value + by, decimal.places)
    return changed(tree, lambda part: other if part is decimal else None)


def _is_between(value: Surd, first: Surd | None, second: Surd | None) -> bool:
    if first is None or second is None or not (first.is_real and second.is_real):
        return False
    return (value - first).real_sign() * (value - second).real_sign() <= 0


def _parts_of(value: Surd) -> tuple[Surd, Surd]:
    """The real and the imaginary part of a number."""
    real = [(radicand, factor) for radicand, factor in value.terms if radicand > 0]
    imaginary = [(-radicand, factor) for radicand, factor in value.terms if radicand < 0]
    return Surd(real, value.denominator), Surd(imaginary, value.denominator)


def _part(mine: Surd, other: Surd, places: int | None, min_places: int) -> Matched:
    if mine == other:
        return SAME
    if places is None:
        return DIFFERENT
    typed = Number(mine, tree_of_surd(mine), places)
    return _decimals(typed, Number.exactly(other), min_places)


def _difference(typed: Number, right: Number) -> Surd | None:
    """The difference of two real numbers, exactly or to forty digits."""
    first, second = _real(typed), _real(right)
    if first is None or second is None:
        return None
    return first - second


def _real(number: Number) -> Surd | None:
    if number.surd is not None:
        return number.surd if number.surd.is_real else None
    from pipeline.exact.numeric import NotNumeric, numeric_value

    try:
        value = numeric_value(number.tree)
    except (NotNumeric, BudgetExceeded):
        return None
    if abs(getattr(value, "imag", 0)) > 0:
        return None
    return Surd.of(Fraction(int(value * 10**40), 10**40))


def _compare_by_digits(first: Node, second: Node) -> Matched:
    """Compare two trees by fifty digits at several points."""
    from pipeline.exact.numeric import agree

    return Matched(Match.EQUAL, NUMERIC) if agree(first, second) else DIFFERENT


def _compare_numbers(typed: Number, right: Number, min_places: int) -> Matched:
    """Compare a typed number with a right one."""
    if value_key(typed) == value_key(right):
        return SAME
    if typed.places is not None and not letters(right.tree):
        return _decimals(typed, right, min_places)
    worked_out = _worked_out(typed, right, min_places)
    if worked_out is not None:
        return worked_out
    if typed.surd is None or right.surd is None:
        return _compare_by_digits(typed.tree, right.tree)
    return _complex_decimals(typed, right, min_places)


def compare_values(value: Value, right: Value, min_places: int = 2) -> Matched:
    """Compare a typed value with a right one.

    Args:
        value: what was read.
        right: what is right.
        min_places: fewest decimals that prove anything.
    """
    if value_key(value) == value_key(right):
        return SAME
    first, second = members_of(value), members_of(right)
    if first and second:
        return _as_sets(first, second, min_places)
    if isinstance(value, Roots) and isinstance(right, Point):  # `2, -3` for (2, -3)
        return _point(Point(value.members), right, min_places)
    if isinstance(value, Point | Points) and isinstance(right, Point | Points):
        return _points(value, right, min_places)
    if isinstance(value, Region) and isinstance(right, Region):
        return _regions(value, right, min_places)
    return _expressions(value, right)


def _as_sets(first: tuple[Number, ...], second: tuple[Number, ...], min_places: int) -> Matched:
    """Match every typed number with a right one and leave none over."""
    open_right, worst, remark = _distinct(second), Match.EQUAL, None
    typed = _distinct(first)
    if len(typed) != len(open_right):
        return DIFFERENT
    for number in typed:
        best, place = DIFFERENT, -1
        for index, candidate in enumerate(open_right):
            found = _compare_numbers(number, candidate, min_places)
            if found.match > best.match:
                best, place = found, index
        if place < 0:
            return DIFFERENT
        del open_right[place]
        worst, remark = min(worst, best.match), remark or best.remark
    return Matched(worst, remark)


def _distinct(numbers: tuple[Number, ...]) -> list[Number]:
    return list({value_key(number): number for number in numbers}.values())


def _points(value: Point | Points, right: Point | Points, min_places: int) -> Matched:
    first = value.members if isinstance(value, Points) else (value,)
    second = list(right.members if isinstance(right, Points) else (right,))
    if len(set(map(value_key, first))) != len(set(map(value_key, second))):
        return DIFFERENT
    near = (max((_point(point, other, min_places) for other in second), key=lambda m: m.match)
            for point in first)  # fmt: skip
    return _worst(list(near))


def _point(value: Point, right: Point, min_places: int) -> Matched:
    if len(value.coordinates) != len(right.coordinates):
        return DIFFERENT
    pairs = zip(value.coordinates, right.coordinates, strict=True)
    return _worst([_compare_numbers(typed, other, min_places) for typed, other in pairs])


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
                found.append(_compare_numbers(end, right_end, min_places))
    return _worst(found) if found else SAME


def _expressions(value: Value, right: Value) -> Matched:
    """Compare what holds letters; `y = …` and `f(x) = …` stand for their right sides.

    An equation `y = 2` is a line: where it labels a value, the value was read.
    """
    first, second = _tree(value, right), _tree(right, value)
    if first is None or second is None:
        return _equations(value, right)
    keys = tree_key(first), tree_key(second)
    if keys[0] == keys[1]:
        return SAME
    by_digits = any(key.startswith("~") for key in keys)
    return _compare_by_digits(first, second) if by_digits else DIFFERENT


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
    first, second = value.relation.difference, right.relation.difference
    if letters(first) != letters(second):
        return DIFFERENT
    by_digits = any(value_key(one).startswith("~") for one in (value, right))
    return _compare_by_digits(first, second) if by_digits else DIFFERENT
