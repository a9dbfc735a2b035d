"""Canonical keys: equal values have equal keys, whatever was typed.

Numbers, polynomials, fractions of polynomials, intervals and equations have exact keys.
Others (cube roots, nested roots, roots of letters) are keyed by their values to forty digits at
fixed points, which equal expressions share and unequal ones share only by a miracle.
"""

from __future__ import annotations

from functools import lru_cache

from pipeline.errors import BudgetExceeded
from pipeline.exact.numbers import Surd
from pipeline.exact.polynomials import Polynomial, fraction_of, polynomial_of
from pipeline.exact.shapes import (
    Count,
    Equation,
    Expression,
    Interval,
    Number,
    Point,
    Points,
    Region,
    Roots,
    Statement,
    StatementCode,
    Value,
)
from pipeline.exact.trees import (
    KNOWN_FUNCTIONS,
    TURNED,
    Call,
    Letter,
    Negation,
    Node,
    Relation,
    Sum,
    letters,
)


def value_key(value: Value) -> str:
    """Return the canonical key of a value.

    A list with one distinct member has that member's key, the whole line that of `ALL_REAL`,
    the empty set that of `NO_SOLUTION`: they are the same answer.
    """
    match value:
        case Number():
            return number_key(value)
        case Roots(members):
            return _set_key([number_key(member) for member in members])
        case Expression() | Count():
            return tree_key(value.tree)
        case Point(coordinates):
            return f"({', '.join(number_key(part) for part in coordinates)})"
        case Points(members):
            return _set_key([value_key(member) for member in members])
        case Region():
            return _region_key(value)
        case Equation(relation):
            return relation_key(relation)
        case Statement(code):
            return code.value


def _set_key(keys: list[str]) -> str:
    distinct = sorted(set(keys))
    return distinct[0] if len(distinct) == 1 else "{" + ", ".join(distinct) + "}"


def number_key(number: Number) -> str:
    """Return the key of one number."""
    return number.surd.source() if number.surd is not None else tree_key(number.tree)


@lru_cache(maxsize=8192)
def tree_key(tree: Node) -> str:
    """Return the key of an expression."""
    ratio = _ratio(tree)
    if ratio is not None:
        upper, lower = ratio
        return upper.source() if lower.is_constant else f"({upper.source()})/({lower.source()})"
    return _numeric_key(tree)


def _ratio(tree: Node) -> tuple[Polynomial, Polynomial] | None:
    try:
        polynomial = polynomial_of(tree)
        if polynomial is not None:
            return polynomial, Polynomial.constant(1)
        return fraction_of(tree)
    except ZeroDivisionError:
        return None


def _numeric_key(tree: Node) -> str:
    from pipeline.exact.numeric import fingerprint, recognized

    if not letters(tree):
        exact = recognized(tree)
        if exact is not None:
            return exact.source()
    found = fingerprint(tree)
    return f"~{found}" if found is not None else f"?{tree!r}"


def _region_key(region: Region) -> str:
    if not region.parts:
        return StatementCode.NO_SOLUTION.value
    if len(region.parts) == 1 and region.parts[0].low is None and region.parts[0].high is None:
        return StatementCode.ALL_REAL.value
    if all(_is_point(part) for part in region.parts):
        return _set_key([number_key(part.low) for part in region.parts if part.low is not None])
    return " U ".join(_interval_key(part) for part in region.parts)


def _is_point(part: Interval) -> bool:
    """Whether an interval holds one number; such regions are the lists of these numbers."""
    ends = part.low, part.high
    return None not in ends and number_key(ends[0]) == number_key(ends[1])  # type: ignore[arg-type]


def _interval_key(part: Interval) -> str:
    low = "-oo" if part.low is None else number_key(part.low)
    high = "oo" if part.high is None else number_key(part.high)
    if low == high:
        return f"[{low}]"
    left = "(" if part.left_open or part.low is None else "["
    right = ")" if part.right_open or part.high is None else "]"
    return f"{left}{low}, {high}{right}"


@lru_cache(maxsize=8192)
def relation_key(relation: Relation) -> str:
    """Return the key of a relation, up to a nonzero constant factor."""
    pieces = [
        _pair_key(left, sign, right)
        for left, sign, right in zip(
            relation.sides, relation.signs, relation.sides[1:], strict=False
        )
    ]
    return " & ".join(sorted(pieces))


def _pair_key(left: Node, sign: str, right: Node) -> str:
    difference = Sum((_plain(left), Negation(_plain(right))))
    sign = "=" if sign == "~" else sign
    ratio = _ratio(difference)
    if ratio is None:
        return f"{_scaled_numeric_key(difference)} {sign} 0"
    upper, lower = ratio
    if not upper:
        return f"0 {sign} 0"
    leading = upper.ordered()[0][1]
    if leading.is_real and leading.real_sign() < 0:
        sign = TURNED[sign]
    scaled = upper * (Surd.of(1) / leading)
    over = "" if lower.is_constant else f"/({lower.source()})"
    return f"{scaled.source()}{over} {sign} 0"


def _plain(node: Node) -> Node:
    """A question's own function on one side, f(x) or f_inv(x), counts as a letter."""
    if isinstance(node, Call) and node.name not in KNOWN_FUNCTIONS and len(node.name) < 6:
        return Letter(node.name)
    return node


def _scaled_numeric_key(difference: Node) -> str:
    from pipeline.exact.numeric import ratios

    try:
        found = ratios(difference)
    except BudgetExceeded:
        found = None
    return f"~{found}" if found is not None else f"?{difference!r}"
