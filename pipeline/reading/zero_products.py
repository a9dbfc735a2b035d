"""Factored equations left as answers, and the roots that they stand for."""

from __future__ import annotations

from pipeline.exact.polynomials import polynomial_of
from pipeline.exact.trees import (
    Node,
    Numeral,
    PlusMinus,
    Power,
    Product,
    Quotient,
    Relation,
    letters,
)
from pipeline.exact.values import Number


def zero_product_roots(relation: Relation) -> list[Number]:
    """Return the roots of a factored equation `(x-2)(x+3) = 0`, all factors linear; else none.

    The zero may stand on either side.
    """
    left, right = relation.sides[0], relation.sides[-1]
    if isinstance(left, Numeral):
        left, right = right, left
    if not isinstance(right, Numeral) or right.value:
        return []
    return _factor_roots(left)


def _factor_roots(left: Node) -> list[Number]:
    names = letters(left)
    factors = left.factors if isinstance(left, Product) else (left,)
    if len(names) != 1 or (len(factors) == 1 and not isinstance(left, Power)):
        return []
    letter, found = next(iter(names)), []
    for factor in factors:
        base = factor.base if isinstance(factor, Power) else factor
        value = None if isinstance(base, PlusMinus | Quotient) else polynomial_of(base)
        if value is None or value.degree() > 1:
            return []
        if value.degree() == 1:
            constant, slope = value.coefficients(letter)
            found.append(Number.exactly(-constant / slope))
    return list(dict.fromkeys(found))
