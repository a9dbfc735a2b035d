"""Inequalities in one letter as regions of the number line."""

from __future__ import annotations

from functools import reduce

from pipeline.errors import BudgetExceeded
from pipeline.exact.coefficients import exact_roots
from pipeline.exact.numbers import Surd
from pipeline.exact.polynomials import Polynomial, fraction_of
from pipeline.exact.regions import (
    WHOLE_LINE,
    intersection,
    ray,
    single_points,
    union,
    where,
    without_points,
)
from pipeline.exact.trees import (
    TURNED,
    Absolute,
    Letter,
    Negation,
    Node,
    Relation,
    Sum,
    letters,
)
from pipeline.exact.values import Region
from pipeline.reading.signs import exact_number, infinity_of


def chain_region(relation: Relation) -> Region | None:
    """Return the region of a chain such as `-2 < x <= 3`, or None when it cannot be solved."""
    parts = [pair_region(*pair) for pair in relation.pairs()]
    found = [one for one in parts if one is not None]
    return reduce(intersection, found) if len(found) == len(parts) else None


def pair_region(left: Node, sign: str, right: Node) -> Region | None:
    """Return where one relation between two sides holds, or None."""
    names = letters(left) | letters(right)
    if len(names) != 1:
        return None
    if isinstance(left, Letter) and not letters(right):
        return _ray(sign, right)
    if isinstance(right, Letter) and not letters(left):
        return _ray(TURNED[sign], left)
    try:
        return _solved(left, sign, right, next(iter(names)))
    except (BudgetExceeded, ZeroDivisionError, ValueError):
        return None


def _ray(sign: str, end: Node) -> Region | None:
    infinite = infinity_of(end)
    if infinite:
        return _whole_or_none(sign, infinite)
    number = exact_number(end)
    if number.surd is not None and not number.surd.is_real:
        return None
    if sign[0] in "<>":
        return ray(sign, number)
    return without_points(WHOLE_LINE, [number]) if sign == "!=" else single_points([number])


def _whole_or_none(sign: str, infinite: int) -> Region | None:
    if (sign in {"<", "<="}) == (infinite > 0) and sign not in {"=", "!=", "~"}:
        return WHOLE_LINE
    return None


def _solved(left: Node, sign: str, right: Node, letter: str) -> Region | None:
    for inside, other, way in ((left, right, sign), (right, left, TURNED[sign])):
        if isinstance(inside, Absolute) and not letters(other):
            return _absolute(inside.argument, way, other)
    ratio = fraction_of(Sum((left, Negation(right))))
    if ratio is None:
        return None
    zeros, poles = (_zeros(part, letter) for part in ratio)
    if zeros is None or poles is None:
        return None
    return where(lambda value: _sign_at(ratio, letter, value), zeros, poles, sign)


def _absolute(inside: Node, sign: str, other: Node) -> Region | None:
    lower = pair_region(inside, TURNED[sign], Negation(other))
    upper = pair_region(inside, sign, other)
    if lower is None or upper is None:
        return None
    if sign in {"<", "<="}:
        return intersection(lower, upper)
    return union(lower, upper) if sign in {">", ">=", "="} else intersection(lower, upper)


def _zeros(value: Polynomial, letter: str) -> list[Surd] | None:
    """Real zeros up to degree two; None beyond."""
    factors = tuple(value.coefficients(letter))
    if len(factors) > 3 or not all(factor.is_real for factor in factors):
        return None
    roots = exact_roots(factors)
    return None if roots is None else [one for one in roots if one.is_real]


def _sign_at(ratio: tuple[Polynomial, Polynomial], letter: str, value: Surd) -> int:
    upper, lower = (part.substitute(letter, value).constant_term for part in ratio)
    return upper.real_sign() * lower.real_sign()
