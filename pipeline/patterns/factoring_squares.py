"""Errors in factoring sums and differences of squares."""

from __future__ import annotations

from pipeline.exact.monomials import Polynomial
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.rewriting.factoring import Squares, factors_of_squares
from pipeline.procedures.walk import Choices

_SKILL = "factoring"
_Factors = tuple[Polynomial, ...]


def _is_difference(squares: Squares) -> bool:
    return squares.sign != squares.other


@pattern(
    "difference-of-squares-as-square",
    skill=_SKILL,
    source="from memory",
    shows=(
        "factor | x^2 - 100 | (x - 10)^2",
        "factor | 9x^2 - 25y^2 | (3x - 5y)^2",
    ),
    silent=(
        "factor | x^2 - 100 | (x - 10)(x + 10)",
        "factor | x^2 - 20x + 100 | (x - 10)^2",
    ),
)
@instead_of(factors_of_squares)
def difference_of_squares_as_square(squares: Squares) -> _Factors | None:
    """Factors a difference of squares as the square of the difference."""
    if not _is_difference(squares):
        return None
    one = squares.first - squares.second
    return one * squares.sign, one


@pattern(
    "sum-of-squares-factored",
    skill=_SKILL,
    source="Schechter 2006; from memory",
    shows=(
        "factor | x^2 + 81 | (x + 9)^2",
        "factor | x^2 + 16 | (x + 4)(x - 4)",
    ),
    silent=(
        "factor | x^2 + 81 | prime",
        "factor | x^2 - 81 | (x + 9)^2",
    ),
)
@instead_of(factors_of_squares)
def sum_of_squares_factored(squares: Squares) -> Choices | None:
    """Factors a sum of squares, which has no real factors."""
    if _is_difference(squares):
        return None
    plus, minus = squares.first + squares.second, squares.first - squares.second
    return Choices((plus * squares.sign, other) for other in (plus, minus))


@pattern(
    "square-left-in-difference-of-squares",
    skill=_SKILL,
    source="Mathematics Educators question-and-answer site, 1040",
    shows=(
        "factor | x^2 - 49 | (x - 49)(x + 49)",
        "factor | 4x^2 - 9 | (4x - 9)(4x + 9)",
    ),
    silent=(
        "factor | x^2 - 49 | (x - 7)(x + 7)",
        "factor | x^2 - 1 | (x - 1)(x + 1)",
    ),
)
@instead_of(factors_of_squares)
def square_left_in_difference_of_squares(squares: Squares) -> Choices | None:
    """Takes the letter's root but leaves the numbers squared in both brackets."""
    if not _is_difference(squares):
        return None
    first, second = squares.first, squares.second
    return Choices(
        ((one + two) * squares.sign, one - two)
        for one in {first, _number_squared(first)}
        for two in {second, _number_squared(second)}
        if (one, two) != (first, second)
    )


def _number_squared(single: Polynomial) -> Polynomial:
    ((monomial, value),) = single.terms.items()
    return Polynomial({monomial: value * value})


@pattern(
    "difference-of-squares-turned-round",
    skill=_SKILL,
    source="OpenStax Elementary Algebra 2e, 7.4",
    shows=(
        "factor | 64 - x^2 | (x - 8)(x + 8)",
        "factor | 9 - 4y^2 | (2y - 3)(2y + 3)",
    ),
    silent=(
        "factor | 64 - x^2 | (8 - x)(8 + x)",
        "factor | x^2 - 64 | (x - 8)(x + 8)",
    ),
)
@instead_of(factors_of_squares)
def difference_of_squares_turned_round(squares: Squares) -> _Factors | None:
    """Turns a difference of squares round before it is factored."""
    if not _is_difference(squares) or squares.sign > 0:
        return None
    return squares.first + squares.second, squares.first - squares.second
