"""Errors with combinations, compositions and inverses of functions."""

from __future__ import annotations

from pipeline.exact.polynomials import Polynomial
from pipeline.patterns.linear_equations import divided_one_term_only
from pipeline.patterns.rearranging import constant_moved_same_sign
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.functions import (
    FUNCTION,
    Operation,
    apply,
    carry_off,
    choose_order,
    combine,
    divide_off_slope,
    start_inverse,
)
from pipeline.procedures.solving_for import Part, join, over, times
from pipeline.procedures.walk import Choices

_SKILL = "functions"
_ONE = Polynomial.constant(1)


@pattern(
    "composition-order-swapped",
    skill=_SKILL,
    source="common practice",
    shows=(
        "function | f(x) = 3x - 1; g(x) = x^2; f(g(x)) | (3x - 1)^2",
        "function | f(x) = x + 4; g(x) = 2x; (f o g)(3) | 14",
    ),
    silent=(
        "function | f(x) = 3x - 1; g(x) = x^2; f(g(x)) | 3x^2 - 1",
        "function | f(x) = x + 4; g(x) = 2x; (f o g)(3) | 10",
    ),
)
@instead_of(choose_order, FUNCTION)
def composition_order_swapped(outer: Part, inner: Part, letter: str) -> Part:
    """Puts the outer function into the inner one."""
    return apply(inner, letter, outer)


@pattern(
    "composition-as-product",
    skill=_SKILL,
    source="common practice",
    shows=(
        "function | f(x) = 3x - 1; g(x) = x^2; f(g(x)) | 3x^3 - x^2",
        "function | f(x) = x + 4; g(x) = 2x; (f o g)(3) | 42",
    ),
    silent=(
        "function | f(x) = 3x - 1; g(x) = x^2; f(g(x)) | 3x^2 - 1",
        "function | f(x) = x + 4; g(x) = 2x; (fg)(3) | 42",
    ),
)
@instead_of(choose_order, FUNCTION)
def composition_as_product(outer: Part, inner: Part, letter: str) -> Part:
    """Multiplies the functions where one is to be put into the other."""
    return times(outer, inner)


@pattern(
    "product-as-composition",
    skill=_SKILL,
    source="common practice",
    shows=(
        "function | f(x) = x + 4; g(x) = 2x; (fg)(x) | 2x + 4",
        "function | f(x) = 3x - 1; g(x) = x + 1; (f*g)(2) | 8",
    ),
    silent=(
        "function | f(x) = x + 4; g(x) = 2x; (fg)(x) | 2x^2 + 8x",
        "function | f(x) = x + 4; g(x) = 2x; (f o g)(x) | 2x^2 + 8x",
    ),
)
@instead_of(combine, FUNCTION)
def product_as_composition(first: Part, second: Part, operation: Operation) -> Part | None:
    """Puts one function into the other where they are to be multiplied."""
    names = first[0].letters | second[0].letters
    return apply(first, next(iter(names)), second) if operation == "*" and len(names) == 1 else None


@pattern(
    "function-subtracted-in-part",
    skill=_SKILL,
    source="OpenStax Intermediate Algebra 2e, 5.1 (caution)",
    shows=(
        "function | f(x) = 5x + 2; g(x) = 3x - 4; (f - g)(x) | 2x - 2",
        "function | f(x) = x^2; g(x) = 2x + 7; (f - g)(x) | x^2 - 2x + 7",
    ),
    silent=(
        "function | f(x) = 5x + 2; g(x) = 3x - 4; (f - g)(x) | 2x + 6",
        "function | f(x) = 5x + 2; g(x) = 3x - 4; (f + g)(x) | 8x - 2",
    ),
)
@instead_of(combine, FUNCTION)
def function_subtracted_in_part(first: Part, second: Part, operation: Operation) -> Part | None:
    """Subtracts the first term of the second function only."""
    if operation != "-" or len(second[0].terms) < 2 or second[1] != _ONE:
        return None
    lead = Polynomial(dict([second[0].ordered()[0]]))
    return join(join(first, (lead, _ONE), -1), (second[0] - lead, _ONE))


@pattern(
    "functions-divided-upside-down",
    skill=_SKILL,
    source="common practice",
    shows=(
        "function | f(x) = x + 4; g(x) = 2x; (f/g)(x) | 2x/(x + 4)",
        "function | f(x) = 3x - 1; g(x) = x + 1; (f/g)(3) | 1/2",
    ),
    silent=(
        "function | f(x) = 3x - 1; g(x) = x + 1; (f/g)(3) | 2",
        "function | f(x) = 3x - 1; g(x) = x + 1; (fg)(3) | 1/2",
    ),
)
@instead_of(combine, FUNCTION)
def functions_divided_upside_down(first: Part, second: Part, operation: Operation) -> Part | None:
    """Divides the second function by the first."""
    return over(second, first) if operation == "/" else None


@pattern(
    "inverse-as-reciprocal",
    skill=_SKILL,
    source="common practice",
    shows=(
        "function | f(x) = 2x + 3; f^-1(x) | 1/(2x + 3)",
        "function | f(x) = (x - 5)/2; f^-1(x) | 2/(x - 5)",
    ),
    silent=(
        "function | f(x) = 2x + 3; f^-1(x) | (x - 3)/2",
        "function | f(x) = 2x + 3; f^-1(x) | -2x - 3",
    ),
)
@instead_of(start_inverse, FUNCTION)
def inverse_as_reciprocal(slope: Part, constant: Part, letter: str) -> Part:
    """Gives the reciprocal of the function as its inverse."""
    return over((_ONE, _ONE), _line(slope, constant, letter))


def _line(slope: Part, constant: Part, letter: str) -> Part:
    return join(times(slope, (Polynomial.letter(letter), _ONE)), constant)


@pattern(
    "inverse-as-opposite",
    skill=_SKILL,
    source="common practice",
    shows=(
        "function | f(x) = 2x + 3; f^-1(x) | -2x - 3",
        "function | f(x) = 2x + 3; f^-1(x) | 2x - 3",
    ),
    silent=(
        "function | f(x) = 2x + 3; f^-1(x) | (x - 3)/2",
        "function | f(x) = 2x + 3; f^-1(x) | 3x + 2",
    ),
)
@instead_of(start_inverse, FUNCTION)
def inverse_as_opposite(slope: Part, constant: Part, letter: str) -> Choices:
    """Changes signs of the function in place of undoing its operations."""
    whole = _line(slope, constant, letter)
    opposite = times(whole, (Polynomial.constant(-1), _ONE))
    return Choices((opposite, join(whole, times(constant, (Polynomial.constant(2), _ONE)), -1)))


@divided_one_term_only.also(start_inverse, FUNCTION)
def _undone_in_the_wrong_order(slope: Part, constant: Part, letter: str) -> Part | None:
    if not constant[0] or slope == (_ONE, _ONE):
        return None
    return join(over((Polynomial.letter(letter), _ONE), slope), constant, -1)


@constant_moved_same_sign.also(carry_off, FUNCTION)
def _added_once_more(letter: Part, constant: Part) -> Part:
    return join(letter, constant)


@pattern(
    "slope-of-inverse-not-inverted",
    skill=_SKILL,
    source="common practice",
    shows=(
        "function | f(x) = 2x + 3; f^-1(x) | 2(x - 3)",
        "function | f(x) = (x - 5)/2; f^-1(x) | (1/2)(x + 5/2)",
    ),
    silent=(
        "function | f(x) = 2x + 3; f^-1(x) | (x - 3)/2",
        "function | f(x) = x + 3; f^-1(x) | 2(x - 3)",
    ),
)
@instead_of(divide_off_slope, FUNCTION)
def slope_of_inverse_not_inverted(other: Part, slope: Part) -> Part:
    """Multiplies by the slope where one has to divide by it."""
    return times(other, slope)
