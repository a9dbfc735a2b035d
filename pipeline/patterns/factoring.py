"""Errors in splitting a polynomial into factors."""

from __future__ import annotations

from pipeline.exact.numbers import Surd
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.equations import Linear
from pipeline.procedures.operations import pair_of_factors, primitive
from pipeline.procedures.walk import Choices

LARGEST = 5_000
"""Largest constant that is split by trial."""
MOST_PAIRS = 60
"""Numbers with more divisor pairs than this are no school factoring, and are left alone."""


@pattern(
    "factor-pair-misses-sum",
    skill="factoring",
    source="OpenStax Elementary Algebra 2e, 7.2; Kotsopoulos 2007; Zakaria, Ibrahim and Maat 2010",
    shows=(
        "solve | x^2 - 8x + 12 = 0 | 3; 4",
        "solve | x^2 + 8x + 12 = 0 | -3, -4",
    ),
    silent=(
        "solve | x^2 - 8x + 12 = 0 | 2; 6",
        "solve | x^2 - 8x + 12 = 0 | 3; 5",
    ),
)
@instead_of(pair_of_factors, "factoring")
def factor_pair_misses_sum(a: Surd, b: Surd, c: Surd) -> Choices | None:
    """Picks two numbers with the right product but the wrong sum, and solves those factors."""
    whole = primitive(a, b, c)
    if whole is None or not 0 < abs(whole[2]) <= LARGEST:
        return None
    first, middle, last = whole
    signed = [sign * q for q in divisors(last) for sign in (1, -1)]
    pairs = {
        frozenset(((p, q), (first // p, last // q)))
        for p in divisors(first)
        for q in signed
        if p * (last // q) + q * (first // p) != middle
    }
    if len(pairs) > MOST_PAIRS:
        return None
    return Choices(tuple(Linear(Surd.of(p), Surd.of(q)) for p, q in pair) for pair in pairs)


def divisors(number: int) -> list[int]:
    """Return the positive divisors of a whole number up to `LARGEST`, none beyond."""
    return [one for one in range(1, min(abs(number), LARGEST) + 1) if number % one == 0]
