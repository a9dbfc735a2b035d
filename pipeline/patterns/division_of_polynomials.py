"""Errors in division of polynomials."""

from __future__ import annotations

from pipeline.exact.coefficients import Coefficients, added, quotient_of
from pipeline.exact.polynomials import Polynomial, tree_of_polynomial
from pipeline.exact.trees import Node, Quotient, Sum
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.walk import Place
from pipeline.tasks.divide import divide_rows, write_quotient

Divided = tuple[Coefficients, Coefficients]


@pattern(
    source="OpenStax Intermediate Algebra 2e, 5.1 (caution, on subtracting)",
    shows=(
        "divide | (x^2 + 5x + 7) / (x + 2) | x + 7 + 21/(x + 2)",
        "divide | (2x^3 + 3x - 5) / (x - 2) | 2x^2 - 4x + 11 - 27/(x - 2)",
    ),
    silent=(
        "divide | (x^2 + 5x + 7) / (x + 2) | x + 3 + 1/(x + 2)",
        "divide | (x^2 + 5x + 7) / (x + 2) | x + 7",
    ),
)
@instead_of(divide_rows, Place.DIVISION)
def rows_added_in_division(above: Coefficients, below: Coefficients) -> Divided | None:
    """Subtracts the first term of each row in the long division and adds the others."""
    if len(below) < 2 or not any(below[:-1]):
        return None
    return quotient_of(above, (*(-number for number in below[:-1]), below[-1]))


@pattern(
    source="OpenStax Intermediate Algebra 2e, 5.4 (related: synthetic division); common practice",
    shows=(
        "divide | (x^2 + 5x + 7) / (x + 2) | x + 7 + 21/(x + 2)",
        "divide | (x^3 - 8) / (x - 2) | x^2 - 2x + 4 - 16/(x - 2)",
    ),
    silent=(
        "divide | (x^2 + 5x + 7) / (x + 2) | x + 3 + 1/(x + 2)",
        "divide | (x^3 + 1) / (x^2 + 2) | x + (1 + 2x)/(x^2 + 2)",
    ),
)
@instead_of(divide_rows, Place.DIVISION)
def synthetic_division_with_opposite_number(
    above: Coefficients, below: Coefficients
) -> Divided | None:
    """Divides by x + c with c, and by x - c with -c, in synthetic division."""
    if len(below) != 2 or below[1] != 1 or not below[0]:
        return None
    return quotient_of(above, (-below[0], below[1]))


@pattern(
    source="OpenStax Intermediate Algebra 2e, 5.4 (related: placeholder zeros); common practice",
    shows=(
        "divide | (2x^3 + 3x - 5) / (x - 2) | 2x + 7 + 9/(x - 2)",
        "divide | (x^3 - 8) / (x - 2) | 1 - 6/(x - 2)",
    ),
    silent=(
        "divide | (2x^3 + 3x - 5) / (x - 2) | 2x^2 + 4x + 11 + 17/(x - 2)",
        "divide | (x^2 + 5x + 7) / (x + 2) | 1 + 5/(x + 2)",
    ),
)
@instead_of(divide_rows, Place.DIVISION)
def missing_term_not_held_open(above: Coefficients, below: Coefficients) -> Divided | None:
    """Closes the gap of a missing power instead of writing a zero for it."""
    closed = tuple(number for number in above if number)
    return quotient_of(closed, below) if len(closed) < len(above) and len(below) > 1 else None


def _tree(numbers: Coefficients, letter: str) -> Node:
    return tree_of_polynomial(Polynomial.univariate(letter, numbers))


@pattern(
    source="common practice",
    shows=(
        "divide | (x^2 + 5x + 7) / (x + 2) | x + 3",
        "divide | (2x^3 + 3x - 5) / (x - 2) | 2x^2 + 4x + 11",
    ),
    silent=(
        "divide | (x^2 + 5x + 7) / (x + 2) | x + 3 + 1/(x + 2)",
        "divide | (x^2 - 9) / (x + 3) | x - 3",
    ),
)
@instead_of(write_quotient, Place.DIVISION)
def remainder_left_out(
    quotient: Coefficients, remainder: Coefficients, below: Coefficients, letter: str
) -> Node | None:
    """Gives the quotient without the remainder."""
    return _tree(quotient, letter) if remainder and quotient else None


@pattern(
    source="common practice",
    shows=(
        "divide | (x^2 + 5x + 7) / (x + 2) | x + 4",
        "divide | (2x^3 + 3x - 5) / (x - 2) | 2x^2 + 4x + 28",
    ),
    silent=(
        "divide | (x^2 + 5x + 7) / (x + 2) | x + 3",
        "divide | (x^2 - 9) / (x + 3) | x - 2",
    ),
)
@instead_of(write_quotient, Place.DIVISION)
def remainder_without_divisor(
    quotient: Coefficients, remainder: Coefficients, below: Coefficients, letter: str
) -> Node | None:
    """Adds the remainder to the quotient and leaves out the divisor below it."""
    return _tree(added(quotient, remainder), letter) if remainder and quotient else None


@pattern(
    source="common practice",
    shows=(
        "divide | (x^2 + 5x + 7) / (x + 2) | x + 3 - 1/(x + 2)",
        "divide | (2x^3 + 3x - 5) / (x - 2) | 2x^2 + 4x + 11 - 17/(x - 2)",
    ),
    silent=(
        "divide | (x^2 + 5x + 7) / (x + 2) | x + 3",
        "divide | (x^2 + 5x + 7) / (x + 2) | x + 3 + 1/(x + 2)",
    ),
)
@instead_of(write_quotient, Place.DIVISION)
def remainder_subtracted(
    quotient: Coefficients, remainder: Coefficients, below: Coefficients, letter: str
) -> Node | None:
    """Gives the remainder the opposite sign."""
    if not remainder or not quotient:
        return None
    opposite = tuple(-number for number in remainder)
    over = Quotient(_tree(opposite, letter), _tree(below, letter))
    return Sum((_tree(quotient, letter), over))
