"""Errors in factoring by grouping."""

from __future__ import annotations

from pipeline.exact.building import tree_of_polynomial
from pipeline.exact.monomials import Polynomial
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.rewriting.factoring import PLACE, join_factors
from pipeline.procedures.walk import Ending


@pattern(
    "minus-taken-out-of-one-term-only",
    skill="factoring",
    source="OpenStax Elementary Algebra 2e, 7.1 (caution)",
    shows=(
        "factor | x^2 + 4x - 3x - 12 | x(x + 4) - 3(x - 4)",
        "factor | x^3 + 4x^2 - 3x - 12 | x^2(x + 4) - 3(x - 4)",
        "factor | 6x^2 - 9x - 4x + 6 | 3x(2x - 3) - 2(2x + 3)",
    ),
    silent=(
        "factor | x^2 + 4x - 3x - 12 | (x - 3)(x + 4)",
        "factor | x^2 + 4x - 3x - 12 | x(x + 4) + 3(x - 4)",
        "factor | x^2 + 7x + 12 | x(x + 3) + 4(x - 3)",
    ),
)
@instead_of(join_factors, PLACE)
def minus_taken_out_of_one_term_only(
    outside: Polynomial, factors: tuple[Polynomial, ...]
) -> Ending | None:
    """Takes a minus out of the second pair of terms and changes the sign of the first one only."""
    whole = join_factors(outside, factors)
    names = sorted(whole.letters)
    if len(names) != 1 or not _has_negative_pair(whole, factors):
        return None
    (letter,) = names
    numbers = list(whole.coefficients(letter))
    return Ending(tree_of_polynomial(Polynomial.univariate(letter, [-numbers[0], *numbers[1:]])))


def _has_negative_pair(whole: Polynomial, factors: tuple[Polynomial, ...]) -> bool:
    """Whether the third of four terms is negative, or can be when the middle one is split."""
    constant = whole.coefficients(sorted(whole.letters)[0])[0]
    if len(whole.terms) == 4:
        return whole.ordered()[2][1].real_sign() < 0
    split = len(whole.terms) == 3 and len(factors) == 2
    return split and (constant.real_sign() < 0 or whole.ordered()[1][1].real_sign() < 0)
