"""Numbers of the form a + b*sqrt(d) in disguise, found by their digits."""

from __future__ import annotations

from functools import lru_cache

from pipeline.errors import BudgetExceeded
from pipeline.exact.coefficients import exact_roots, trimmed
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
    numbers = trimmed(tuple(Surd.of(int(number)) for number in reversed(found)))
    roots = (exact_roots(numbers) if len(numbers) > 1 else None) or ()
    return min(roots, key=lambda one: abs(one.approximate() - complex(value)), default=None)
