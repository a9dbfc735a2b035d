"""Numbers of the form a + b*sqrt(d) in disguise, found by their digits."""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache
from typing import Any

from pipeline.errors import BudgetExceeded
from pipeline.exact.numbers import Surd
from pipeline.exact.numeric import DIGITS, NotNumeric, multiple_precision, numeric_value
from pipeline.exact.trees import Node


@lru_cache(maxsize=1024)
def recognized(node: Node) -> Surd | None:
    """Return the number a + b*sqrt(d) that a tree without letters equals to fifty digits, if any.

    Only small coefficients are looked for: disguised roots such as the cube root of 7 + 5*sqrt(2).
    """
    module = multiple_precision()
    mp = module.mp
    try:
        value = numeric_value(node)
    except (NotNumeric, BudgetExceeded):
        return None
    if mp.im(value):
        return None
    found = module.findpoly(mp.re(value), 2, maxcoeff=100_000, tol=mp.mpf(10) ** -DIGITS)
    if not found or len(found) < 2:
        return None
    return _root_near([int(number) for number in found], value)


def _root_near(coefficients: list[int], value: Any) -> Surd | None:
    while coefficients and not coefficients[0]:
        coefficients = coefficients[1:]
    if len(coefficients) < 2:
        return None
    if len(coefficients) == 2:
        return Surd.of(Fraction(-coefficients[1], coefficients[0]))
    a, b, c = coefficients
    root = Surd.root_of(b * b - 4 * a * c)
    if root is None:
        return None
    first, second = (root - b) / (2 * a), (-root - b) / (2 * a)
    distances = [abs(candidate.approximate() - complex(value)) for candidate in (first, second)]
    return first if distances[0] <= distances[1] else second
