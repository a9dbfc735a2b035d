"""Errors with values of functions."""

from __future__ import annotations

from collections.abc import Iterable

from pipeline.exact.polynomials import Polynomial, fraction_of
from pipeline.exact.trees import Node, Power, letters, replaced
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.equations import ONE
from pipeline.procedures.functions import (
    Operation,
    apply,
    choose_order,
    combine,
    divide_difference,
    divide_off_slope,
    start_inverse,
)
from pipeline.procedures.parts import Part, join, over, times, tree_of_part
from pipeline.procedures.solving_for import root_of_power
from pipeline.procedures.walk import Choices, Ending, Place
from pipeline.tasks.function import start_solving


@pattern(
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
@instead_of(choose_order, Place.FUNCTION)
def composition_order_swapped(outer: Part, inner: Part, letter: str) -> Part:
    """Puts the outer function into the inner one."""
    return apply(inner, letter, outer)


@pattern(
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
@instead_of(choose_order, Place.FUNCTION)
def composition_as_product(outer: Part, inner: Part, letter: str) -> Part:
    """Multiplies the functions where one is to be put into the other."""
    return times(outer, inner)


@composition_as_product.also(
    choose_order,
    Place.FUNCTION,
    shows=(
        "function | f(x) = x^2; g(x) = x + 2; f(g(x)) | x^2 + x + 2",
        "function | f(x) = x^2; g(x) = x + 4; f(g(3)) | 16",
    ),
    silent=(
        "function | f(x) = x^2; g(x) = x + 2; f(g(x)) | x^2 + 4x + 4",
        "function | f(x) = x^2; g(x) = x + 2; (f + g)(x) | x^2 + x + 2",
    ),
)
def _composition_as_sum(outer: Part, inner: Part, letter: str) -> Part:
    """Adds the functions where one is to be put into the other."""
    return join(outer, inner)


@pattern(
    source="from memory",
    shows=(
        "function | f(x) = 2x + 1; g(x) = x^2; f(g(3)) | 9",
        "function | f(x) = x - 3; g(x) = 2x; (f o g)(4) | 8",
    ),
    silent=(
        "function | f(x) = 2x + 1; g(x) = x^2; f(g(3)) | 19",
        "function | f(x) = 2x + 1; g(x) = x^2; f(g(3)) | 49",
    ),
)
@instead_of(choose_order, Place.FUNCTION)
def outer_function_left_out(outer: Part, inner: Part, letter: str) -> Part:
    """Stops at the value of the inner function."""
    return inner


@pattern(
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
@instead_of(combine, Place.FUNCTION)
def product_as_composition(first: Part, second: Part, operation: Operation) -> Part | None:
    """Puts one function into the other where they are to be multiplied."""
    names = first[0].letters | second[0].letters
    return apply(first, next(iter(names)), second) if operation == "*" and len(names) == 1 else None


_ONE = Polynomial.constant(1)


@pattern(
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
@instead_of(combine, Place.FUNCTION)
def function_subtracted_in_part(first: Part, second: Part, operation: Operation) -> Part | None:
    """Subtracts the first term of the second function only."""
    if operation != "-" or len(second[0].terms) < 2 or second[1] != _ONE:
        return None
    lead = Polynomial(dict([second[0].ordered()[0]]))
    return join(join(first, (lead, _ONE), -1), (second[0] - lead, _ONE))


@pattern(
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
@instead_of(combine, Place.FUNCTION)
def functions_divided_upside_down(first: Part, second: Part, operation: Operation) -> Part | None:
    """Divides the second function by the first."""
    return over(second, first) if operation == "/" else None


def _line(slope: Part, constant: Part, letter: str) -> Part:
    return join(times(slope, (Polynomial.letter(letter), _ONE)), constant)


@pattern(
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
@instead_of(start_inverse, Place.FUNCTION)
def inverse_as_reciprocal(slope: Part, constant: Part, letter: str) -> Part:
    """Gives the reciprocal of the function as its inverse."""
    return over((_ONE, _ONE), _line(slope, constant, letter))


@pattern(
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
@instead_of(start_inverse, Place.FUNCTION)
def inverse_as_opposite(slope: Part, constant: Part, letter: str) -> Choices:
    """Changes signs of the function in place of undoing its operations."""
    whole = _line(slope, constant, letter)
    opposite = times(whole, (Polynomial.constant(-1), _ONE))
    return Choices((opposite, join(whole, times(constant, (Polynomial.constant(2), _ONE)), -1)))


@pattern(
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
@instead_of(divide_off_slope, Place.FUNCTION)
def slope_of_inverse_not_inverted(other: Part, slope: Part) -> Part:
    """Multiplies by the slope where one has to divide by it."""
    return times(other, slope)


@pattern(
    source="common practice",
    shows=(
        "function | f(x) = 2x + 3; f(4) | 8x + 12",
        "function | f(x) = x^2 - 1; f(3) | 3x^2 - 3",
    ),
    silent=(
        "function | f(x) = 2x + 3; f(4) | 11",
        "function | f(x) = 2x + 3; f(4) | 8x + 3",
    ),
)
@instead_of(apply, Place.FUNCTION)
def function_read_as_factor(body: Part, letter: str, argument: Part) -> Part:
    """Multiplies the function by what stands in its brackets."""
    return times(body, argument)


@pattern(
    source="common practice",
    shows=(
        "function | f(x) = x^2 + 3x; f(x + 2) | x^2 + 3x + 2",
        "function | f(x) = 2x - 5; f(x + h) | 2x - 5 + h",
        "function | f(x) = x^2 - 4; f(a + h) | a^2 - 4 + h",
    ),
    silent=(
        "function | f(x) = 2x - 5; f(x + h) | 2x + 2h - 5",
        "function | f(x) = 2x - 5; f(4) | 3",
    ),
)
@instead_of(apply, Place.FUNCTION)
def argument_added_to_function(body: Part, letter: str, argument: Part) -> Choices | None:
    """Adds to the function what is added to its argument: f(x + 2) as f(x) + 2."""
    terms = [Polynomial({powers: factor}) for powers, factor in argument[0].terms.items()]
    if argument[1] != _ONE or len(terms) < 2:
        return None
    return Choices(
        join(apply(body, letter, (one, _ONE)), (argument[0] - one, _ONE))
        for one in terms
        if one.letters
    )


@pattern(
    source="Scofield 2003 (functions spread over sums)",
    shows=(
        "function | f(x) = x^2 + 3x; f(x + 2) | x^2 + 3x + 10",
        "function | f(x) = 2x - 5; f(a + h) | 2a + 2h - 10",
    ),
    silent=(
        "function | f(x) = 2x - 5; f(a + h) | 2a + 2h - 5",
        "function | f(x) = 2x; f(a + h) | 2a",
    ),
)
@instead_of(apply, Place.FUNCTION)
def function_spread_over_sum(body: Part, letter: str, argument: Part) -> Part | None:
    """Takes the function of each term and adds: f(a + h) as f(a) + f(h)."""
    terms = list(argument[0].terms.items())
    if argument[1] != _ONE or len(terms) < 2:
        return None
    total: Part = (Polynomial({}), _ONE)
    for monomial, number in terms:
        total = join(total, apply(body, letter, (Polynomial({monomial: number}), _ONE)))
    return total


@function_spread_over_sum.also(
    apply,
    Place.FUNCTION,
    shows=(
        "function | f(x) = x^2 - 4; f(3x) | 3x^2 - 12",
        "function | f(x) = x^2 + 1; f(-x) | -x^2 - 1",
    ),
    silent=(
        "function | f(x) = x^2 - 4; f(3x) | 9x^2 - 4",
        "function | f(x) = x^2 - 4; f(3x) | 3x^2 - 4",
    ),
)
def _number_taken_out_of_argument(body: Part, letter: str, argument: Part) -> Part | None:
    """Takes a number out of the brackets: f(3x) as 3 f(x)."""
    ((_, number), *others) = argument[0].ordered() or [((), ONE)]
    if argument[1] != _ONE or others or argument[0].is_constant or number == ONE:
        return None
    bare = argument[0] * (1 / number), _ONE
    return times((Polynomial.constant(number), _ONE), apply(body, letter, bare))


def polynomial_of_part(part: Part) -> Polynomial | None:
    """Return a part that has no denominator."""
    return part[0] if part[1] == _ONE else None


def _single_letter(argument: Part) -> Polynomial | None:
    """The first letter of an argument such as x + h or a + 1; None where it has no other term."""
    letters = [
        monomial for monomial in argument[0].terms if len(monomial) == 1 and monomial[0][1] == 1
    ]
    if not letters or len(argument[0].terms) < 2:
        return None
    return Polynomial({letters[0]: argument[0].terms[letters[0]] ** 0})


def _sum(parts: Iterable[Polynomial]) -> Polynomial:
    return sum(parts, Polynomial({}))


@pattern(
    source="Scofield 2003 (kind of error); OpenStax College Algebra 2e, 3.1 (related: evaluating"
    " functions); common practice",
    shows=(
        "function | f(x) = x^2 + 3x; f(x + h) | (x + h)^2 + 3x",
        "function | f(x) = 2x^2 - x; f(a + 1) | 2(a + 1)^2 - a",
    ),
    silent=(
        "function | f(x) = x^2 + 3x; f(x + h) | (x + h)^2 + 3(x + h)",
        "function | f(x) = x^2 + 3x; f(x + h) | x^2 + 3x + h",
        "function | f(x) = x^2 + 3x; f(2) | 10",
    ),
)
@instead_of(apply, Place.FUNCTION)
def argument_put_in_one_place(body: Part, letter: str, argument: Part) -> Choices | None:
    """Puts the argument in for the letter in one place and leaves the letter in the others."""
    whole = polynomial_of_part(body)
    kept = _single_letter(argument)
    if whole is None or kept is None or argument[1] != _ONE:
        return None
    parts = whole.collected(letter)
    places = [power for power, part in enumerate(parts) if power and part]
    if len(places) < 2:
        return None
    return Choices(
        (
            _sum(
                part * (argument[0] if power == one else kept) ** power
                for power, part in enumerate(parts)
            ),
            _ONE,
        )
        for one in places
    )


@pattern(
    source="common practice",
    shows=(
        "function | f(x) = 3x - 2; f(x) = 10 | 28",
        "function | f(x) = x^2 - 5x; f(x) = 6 | 6",
    ),
    silent=(
        "function | f(x) = 3x - 2; f(x) = 10 | 4",
        "function | f(x) = x^2 - 5x; f(x) = 6 | 6, -1",
    ),
)
@instead_of(start_solving, Place.FUNCTION)
def function_evaluated_instead_of_solved(body: Node, letter: str, value: Node) -> Node | None:
    """Puts the value of a function in for its letter where the letter is asked for."""
    if letters(value):
        return None
    found = fraction_of(replaced(body, ((letter, value),)))
    return None if found is None else tree_of_part(found)


@pattern(
    source="common practice",
    shows=(
        "function | f(x) = x^2; (f(x + h) - f(x))/h | 2xh + h^2",
        "function | f(x) = x^2 - 3; (f(5) - f(2))/(5 - 2) | 21",
    ),
    silent=(
        "function | f(x) = x^2; (f(x + h) - f(x))/h | 2x + h",
        "function | f(x) = x^2 - 3; (f(5) - f(2))/(5 - 2) | 7",
    ),
)
@instead_of(divide_difference, Place.FUNCTION)
def difference_of_values_not_divided(above: Part, below: Part) -> Ending:
    """Stops at the difference of two values and does not divide it."""
    return Ending(tree_of_part(above))


@pattern(
    source="common practice",
    shows=(
        "function | f(x) = x^3 + 1; f^-1(x) | (x - 1)^3",
        "function | f(x) = 2x^3; f^-1(x) | (x/2)^3",
        "solve-for | V = s^3 for s | s = V^3",
    ),
    silent=(
        "function | f(x) = x^3 + 1; f^-1(x) | cbrt(x - 1)",
        "function | f(x) = x^3 + 1; f^-1(x) | x^3 - 1",
    ),
)
@instead_of(root_of_power, Place.FORMULA)
def power_kept_in_inverse(other: Part, exponent: Node) -> Node:
    """Raises to the power where the inverse takes the root."""
    return Power(tree_of_part(other), exponent)
