"""Inequalities in one letter as regions of the number line."""

from __future__ import annotations

from functools import cmp_to_key

from pipeline.errors import BudgetExceeded
from pipeline.exact.numbers import Surd
from pipeline.exact.polynomials import Polynomial, fraction_of
from pipeline.exact.regions import compare, complement, intersection, union
from pipeline.exact.trees import Absolute, Constant, Letter, Negation, Node, Relation, Sum, letters
from pipeline.exact.values import Interval, Number, Region
from pipeline.reading.signs import exact_number

__all__ = ["FLIPPED", "chain_region", "pair_region", "single_points"]

FLIPPED = {"<": ">", "<=": ">=", ">": "<", ">=": "<=", "=": "=", "!=": "!=", "~": "~"}


def single_points(numbers: list[Number]) -> Region:
    """Return the numbers as a region of single points."""
    return union(Region(tuple(Interval(number, number, False, False) for number in numbers)))


def chain_region(relation: Relation) -> Region | None:
    """Return the region of a chain such as `-2 < x <= 3`, or None when it cannot be solved."""
    found: Region | None = None
    for left, sign, right in zip(relation.sides, relation.signs, relation.sides[1:], strict=False):
        part = pair_region(left, sign, right)
        if part is None:
            return None
        found = part if found is None else intersection(found, part)
    return found


def pair_region(left: Node, sign: str, right: Node) -> Region | None:
    """Return where one relation between two sides holds, or None."""
    names = letters(left) | letters(right)
    if len(names) != 1:
        return None
    if isinstance(left, Letter) and not letters(right):
        return _ray(sign, right)
    if isinstance(right, Letter) and not letters(left):
        return _ray(FLIPPED[sign], left)
    try:
        return _solved(left, sign, right, next(iter(names)))
    except (BudgetExceeded, ZeroDivisionError, ValueError):
        return None


def _ray(sign: str, end: Node) -> Region | None:
    infinite = _infinity(end)
    if infinite:
        return _whole_or_none(sign, infinite)
    number = exact_number(end)
    if number.surd is not None and not number.surd.is_real:
        return None
    if sign in {"<", "<="}:
        return Region((Interval(None, number, True, sign == "<"),))
    if sign in {">", ">="}:
        return Region((Interval(number, None, sign == ">", True),))
    point = single_points([number])
    return complement(point) if sign == "!=" else point


def _infinity(node: Node) -> int:
    inner = node.argument if isinstance(node, Negation) else node
    if not (isinstance(inner, Constant) and inner.name == "oo"):
        return 0
    return -1 if isinstance(node, Negation) else 1


def _whole_or_none(sign: str, infinite: int) -> Region | None:
    if (sign in {"<", "<="}) == (infinite > 0) and sign not in {"=", "!=", "~"}:
        return Region((Interval(None, None, True, True),))
    return None


def _solved(left: Node, sign: str, right: Node, letter: str) -> Region | None:
    for inside, other, way in ((left, right, sign), (right, left, FLIPPED[sign])):
        if isinstance(inside, Absolute) and not letters(other):
            return _absolute(inside.argument, way, other)
    ratio = fraction_of(Sum((left, Negation(right))))
    if ratio is None:
        return None
    zeros, poles = _zeros(ratio[0], letter), _zeros(ratio[1], letter)
    if zeros is None or poles is None:
        return None
    return _by_signs(ratio, sign, letter, zeros, poles)


def _absolute(inside: Node, sign: str, other: Node) -> Region | None:
    lower = pair_region(inside, FLIPPED[sign], Negation(other))
    upper = pair_region(inside, sign, other)
    if lower is None or upper is None:
        return None
    if sign in {"<", "<="}:
        return intersection(lower, upper)
    return union(lower, upper) if sign in {">", ">=", "="} else intersection(lower, upper)


def _zeros(value: Polynomial, letter: str) -> list[Surd] | None:
    """Real zeros up to degree two; None beyond."""
    factors = value.coefficients(letter)
    if len(factors) > 3 or not all(factor.is_real for factor in factors):
        return None
    if len(factors) < 3:
        return [-factors[0] / factors[1]] if len(factors) == 2 else []
    c, b, a = factors
    discriminant = b * b - a * c * 4
    if discriminant.real_sign() < 0:
        return []
    root = Surd.root_of(discriminant)
    return None if root is None else [(-b - root) / (a * 2), (-b + root) / (a * 2)]


def _by_signs(
    ratio: tuple[Polynomial, Polynomial],
    sign: str,
    letter: str,
    zeros: list[Surd],
    poles: list[Surd],
) -> Region:
    ends = [Number.exactly(value) for value in dict.fromkeys([*zeros, *poles])]
    ends.sort(key=cmp_to_key(compare))
    parts: list[Interval] = []
    for low, high in zip([None, *ends], [*ends, None], strict=True):
        if _holds(_sign_at(ratio, letter, _between(low, high)), sign):
            parts.append(Interval(low, high, True, True))
    for end in ends:
        if end.surd not in poles and sign in {"<=", ">=", "="}:
            parts.append(Interval(end, end, False, False))
    return union(Region(tuple(parts)))


def _between(low: Number | None, high: Number | None) -> Surd:
    """Some number of an open interval."""
    left = None if low is None else low.surd
    right = None if high is None else high.surd
    if left is not None and right is not None:
        return (left + right) / 2
    if left is not None:
        return left + 1
    return Surd.of(0) if right is None else right - 1


def _sign_at(ratio: tuple[Polynomial, Polynomial], letter: str, value: Surd) -> int:
    upper, lower = (part.substitute(letter, value).constant_term for part in ratio)
    return upper.real_sign() * lower.real_sign()


def _holds(sign_of_difference: int, sign: str) -> bool:
    if sign in {"<", "<="}:
        return sign_of_difference < 0
    return (
        sign_of_difference > 0 if sign in {">", ">="} else sign == "!=" and sign_of_difference != 0
    )
