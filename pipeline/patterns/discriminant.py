"""Errors in working out a discriminant."""

from __future__ import annotations

from pipeline.exact.numbers import Surd
from pipeline.exact.polynomials import Polynomial, tree_of_polynomial
from pipeline.exact.trees import Node
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.equations import ZERO
from pipeline.procedures.lines import read_slope
from pipeline.procedures.operations import difference, four_a_c, square
from pipeline.procedures.systems import Row, isolate_letter
from pipeline.procedures.walk import Choices, Ending, Place
from pipeline.tasks.discriminant import read_terms


@pattern(
    source="from memory",
    shows=(
        "discriminant | x^2 + 5x + 4 = 0 | -11",
        "discriminant | 2x^2 - 3x - 9 = 0 | 69",
        "solve | 3x^2 - 6x - 2 = 0 | 1 + sqrt(2)/2, 1 - sqrt(2)/2",
    ),
    silent=(
        "discriminant | x^2 + 5x + 4 = 0 | 9",
        "discriminant | x^2 + 5x + 4 = 0 | -6",
    ),
)
@instead_of(square, Place.QUADRATIC_FORMULA, Place.DISCRIMINANT)
def b_not_squared(number: Surd, whole: Surd) -> Surd:
    """Uses b in place of its square in the discriminant."""
    return number


@pattern(
    source="from memory",
    shows=(
        "discriminant | x^2 + 5x + 4 = 0 | 25x^2 - 16",
        "discriminant | 2x^2 + 5x + 4 = 0 | -7x^2",
        "discriminant | 3t^2 - 2t - 1 = 0 | (2t)^2 + 12",
    ),
    silent=(
        "discriminant | x^2 + 5x + 4 = 0 | 9",
        "discriminant | x^2 + 5x + 4 = 0 | 5x^2 - 16",
    ),
)
@instead_of(read_terms, Place.DISCRIMINANT)
def letter_read_with_coefficient(a: Surd, b: Surd, c: Surd, letter: str) -> Choices | None:
    """Reads the letter along with its number: 5x for b."""
    if not b or not letter:
        return None
    squared = b * b
    return Choices(
        Ending(tree_of_polynomial(Polynomial.univariate(letter, numbers)))
        for numbers in ((-4 * a * c, ZERO, squared), (ZERO, ZERO, squared - 4 * a * c))
        if numbers[2]
    )


@letter_read_with_coefficient.also(
    read_slope,
    Place.SLOPE,
    shows=("slope | y = 4x - 7 | 4x", "slope | y = 3 - 2x | -2x"),
    silent=("slope | y = 4x - 7 | 4", "slope | y = 4x - 7 | -7x"),
)
def _slope_read_with_letter(row: Row, solved: bool) -> Node | None:
    """Reads the letter along with the slope: 4x for 4."""
    numbers = (ZERO, isolate_letter(row)[0]) if solved and row.a else ()
    return tree_of_polynomial(Polynomial.univariate("x", numbers)) if numbers else None


@pattern(
    source="from memory",
    shows=(
        "discriminant | 2x^2 + 5x + 1 = 0 | 18",
        "discriminant | 3x^2 - 7x + 2 = 0 | 40",
    ),
    silent=(
        "discriminant | 2x^2 + 5x + 1 = 0 | 17",
        "discriminant | 2x^2 + 5x + 1 = 0 | 33",
    ),
)
@instead_of(four_a_c, Place.QUADRATIC_FORMULA, Place.DISCRIMINANT)
def four_a_c_added_up(a: Surd, c: Surd) -> Surd:
    """Adds 4, a and c instead of multiplying them."""
    return 4 + a + c


@pattern(
    source="a public list of errors",
    shows=(
        "discriminant | x^2 + 5x + 4 = 0 | 3",
        "discriminant | x^2 + 3x + 1 = 0 | sqrt(5)",
    ),
    silent=(
        "discriminant | x^2 + 5x + 4 = 0 | 9",
        "discriminant | x^2 + 5x + 4 = 0 | -1, -4",
    ),
)
@instead_of(difference, Place.DISCRIMINANT)
def discriminant_rooted(square_of_b: Surd, product: Surd) -> Surd | None:
    """Gives the square root of the discriminant."""
    value = square_of_b - product
    return Surd.root_of(value) if value.real_sign() > 0 else None
