"""Errors in solving f(x) = number, in difference quotients and in inverses of powers."""

from __future__ import annotations

from fractions import Fraction

from pipeline.exact.polynomials import Polynomial, fraction_of
from pipeline.exact.trees import Node, Numeral, Power, letters
from pipeline.patterns.power_equations import power_undone_by_dividing
from pipeline.patterns.rational_expressions import denominator_divides_one_term
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.functions import (
    FUNCTION,
    divide_difference,
    root_off,
    tree_of_part,
)
from pipeline.procedures.rewriting.evaluating import replaced
from pipeline.procedures.solving_for import Part, join, over
from pipeline.procedures.walk import Choices, Ending
from pipeline.tasks.function import start_solving

_SKILL = "functions"
_ONE = Polynomial.constant(1)


@pattern(
    "function-evaluated-instead-of-solved",
    skill=_SKILL,
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
@instead_of(start_solving, FUNCTION)
def function_evaluated_instead_of_solved(body: Node, letter: str, value: Node) -> Node | None:
    """Puts the value of a function in for its letter where the letter is asked for."""
    if letters(value):
        return None
    found = fraction_of(replaced(body, ((letter, value),)))
    return None if found is None else tree_of_part(found)


@denominator_divides_one_term.also(
    divide_difference,
    FUNCTION,
    shows=(
        "function | f(x) = 3x^2 - x; (f(x + h) - f(x))/h | 6x + 3h^2 - h",
        "function | f(x) = x^2 + 4x; (f(x + h) - f(x))/h | 2x + h^2 + 4h",
    ),
    silent=("function | f(x) = x^2; (f(x + h) - f(x))/h | 2x + h",),
)
def _one_term_of_a_difference_divided(above: Part, below: Part) -> Choices | None:
    """Divides only one term of a difference by what stands below it."""
    terms = list(above[0].terms.items())
    if above[1] != _ONE or below[1] != _ONE or not 1 < len(terms) <= 6:
        return None
    found = []
    for monomial, number in terms:
        one = Polynomial({monomial: number})
        found.append(join(over((one, _ONE), below), (above[0] - one, _ONE)))
    return Choices(found)


@pattern(
    "difference-of-values-not-divided",
    skill=_SKILL,
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
@instead_of(divide_difference, FUNCTION)
def difference_of_values_not_divided(above: Part, below: Part) -> Ending:
    """Stops at the difference of two values and does not divide it."""
    return Ending(tree_of_part(above))


@power_undone_by_dividing.also(
    root_off,
    FUNCTION,
    shows=(
        "function | f(x) = x^3 + 1; f^-1(x) | (x - 1)/3",
        "function | f(x) = 2x^5; f^-1(x) | x/10",
    ),
    silent=("function | f(x) = x^3 + 1; f^-1(x) | cbrt(x - 1)",),
)
def _inverse_of_power_by_dividing(inside: Part, power: int) -> Node:
    return tree_of_part(over(inside, (Polynomial.constant(power), _ONE)))


@pattern(
    "power-kept-in-inverse",
    skill=_SKILL,
    source="common practice",
    shows=(
        "function | f(x) = x^3 + 1; f^-1(x) | (x - 1)^3",
        "function | f(x) = 2x^3; f^-1(x) | (x/2)^3",
    ),
    silent=(
        "function | f(x) = x^3 + 1; f^-1(x) | cbrt(x - 1)",
        "function | f(x) = x^3 + 1; f^-1(x) | x^3 - 1",
    ),
)
@instead_of(root_off, FUNCTION)
def power_kept_in_inverse(inside: Part, power: int) -> Node:
    """Raises to the power where the inverse takes the root."""
    return Power(tree_of_part(inside), Numeral(Fraction(power)))
