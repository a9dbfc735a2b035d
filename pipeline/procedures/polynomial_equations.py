"""Polynomial equations of degree three and more, by factoring, and equations in quadratic form."""

from __future__ import annotations

from collections.abc import Set
from fractions import Fraction
from typing import Final, NamedTuple

from pipeline.errors import CannotBeWorked
from pipeline.exact.coefficients import Coefficients, added, roots_of, scaled
from pipeline.exact.numbers import Surd
from pipeline.exact.trees import Letter, Node, Power, Root, Sum, exchanged, letters
from pipeline.procedures import operations as op
from pipeline.procedures.equations import ZERO, Equation, coefficients, flat_factors, terms_of
from pipeline.procedures.quadratic import factor
from pipeline.procedures.rewriting.terms import rational
from pipeline.procedures.walk import NO_SOLUTION, Place, Plan, Walk


class QuadraticForm(NamedTuple):
    """A quadratic in u, where `inner` = u is a power of the unknown or a polynomial.

    Args:
        quadratic: the equation in u.
        power: u = x^power for 2 and more, u = sqrt(x) for 0, u = x^(1/3) for -3, u = 1/x for -1.
        inner: u as a polynomial in the unknown instead; () when u is a power.
    """

    quadratic: Equation
    power: int
    inner: Coefficients = ()


def factor_out_powers(numbers: Coefficients) -> tuple[Coefficients, bool]:
    """Take out the power of the unknown that all terms share, and remember the root 0."""
    rest = numbers
    while rest and not rest[0]:
        rest = rest[1:]
    return rest, len(rest) < len(numbers)


def roots_of_rest(numbers: Coefficients) -> op.Roots:
    """Factor what is left, and set each factor to zero."""
    return roots_of(numbers)


def _solve_polynomial(step: Walk, numbers: Coefficients) -> object:
    """Take out the unknown, factor the rest, set every factor to zero."""
    rest, with_zero = numbers, False
    if not numbers[0]:
        rest, with_zero = step.do(factor_out_powers, Place.POLYNOMIAL_EQUATION, numbers)
    roots = (
        step.do(roots_of_rest, Place.POLYNOMIAL_EQUATION, rest) if len(rest) > 1 else frozenset()
    )
    found = roots | {ZERO} if with_zero else roots
    return _reported(step, Place.POLYNOMIAL_EQUATION, found)


def _reported(step: Walk, place: str, found: op.Roots) -> object:
    real = frozenset(one for one in found if one.is_real)
    if real != found:
        step.may_end(step.do(op.report, place, real) if real else "NO_REAL")
    return step.do(op.report, place, found) if found else NO_SOLUTION


def substitute_back(values: op.Roots, power: int, inner: Coefficients) -> op.Roots:
    """From the values of u go back to the unknown."""
    found: set[Surd] = set()
    for value in values:
        found |= _unknowns(value, power, inner)
    return frozenset(found)


def _unknowns(value: Surd, power: int, inner: Coefficients) -> Set[Surd]:
    if inner:
        return roots_of((inner[0] - value, *inner[1:]))
    if power == -1:
        return {1 / value} if value else set()
    if power == 0:
        return {value * value} if value.is_real and value.real_sign() >= 0 else set()
    if power == -3:
        return {value**3} if value.is_real else set()
    return roots_of((-value, *[ZERO] * (power - 1), Surd.of(1)))


def _solve_in_quadratic_form(step: Walk, start: QuadraticForm) -> object:
    """Solve the quadratic in u, then go back from u to the unknown."""
    step.write(QuadraticForm, *start)
    values = factor(step, start.quadratic)
    if not isinstance(values, frozenset):
        raise CannotBeWorked
    found = step.do(substitute_back, Place.QUADRATIC_FORM, values, start.power, start.inner)
    return _reported(step, Place.QUADRATIC_FORM, found)


_POWERS: Final = {Fraction(1, 2): 0, Fraction(1, 3): -3, Fraction(-1): -1}
"""Exponents of u in x that are no whole number above 1, and their code."""

Terms = dict[Fraction, Surd]
"""Coefficients by exponent of the unknown."""


def substitution_plans(first: Node, second: Node, letter: str) -> list[Plan]:
    """Return the way to solve a*(p)^2 + b*(p) + c = 0, with the same sum p, by a substitution."""
    start = _in_repeated(first, second, letter)
    return [] if start is None else [Plan("substitution", _solve_in_quadratic_form, start)]


def polynomial_plans(first: Node, second: Node, letter: str) -> list[Plan]:
    """Return the ways to solve by factoring and by a substitution u."""
    found: list[Plan] = []
    left, right = coefficients(first, letter), coefficients(second, letter)
    if left is not None and right is not None:
        difference = added(left, scaled(right, Surd.of(-1)))
        if len(difference) > 3:
            found.append(Plan("factoring", _solve_polynomial, difference))
    start = _in_powers(first, second, letter) or _in_repeated(first, second, letter)
    if start is not None:
        found.append(Plan("substitution", _solve_in_quadratic_form, start))
    return found


def _in_powers(first: Node, second: Node, letter: str) -> QuadraticForm | None:
    left, right = _terms(first, letter), _terms(second, letter)
    if left is None or right is None:
        return None
    exponents = sorted({one for one in (*left, *right) if one}, key=abs)
    if len(exponents) != 2 or exponents[1] != 2 * exponents[0]:
        return None
    inner = exponents[0]
    whole = inner.denominator == 1 and inner > 1
    if not whole and inner not in _POWERS:
        return None
    sides = [tuple(side.get(n * inner, ZERO) for n in (2, 1, 0)) for side in (left, right)]
    equation = Equation(sides[0], sides[1])  # type: ignore[arg-type]  # three numbers each
    return QuadraticForm(equation, int(inner) if whole else _POWERS[inner])


def _terms(node: Node, letter: str) -> Terms | None:
    total: Terms = {}
    for sign, term in terms_of(node):
        exponent, number = Fraction(0), sign
        for one in flat_factors(term):
            power = _exponent(one, letter)
            plain = coefficients(one, letter) if letter not in letters(one) else None
            if power is not None:
                exponent += power
            elif plain is not None:
                number = number * (plain[0] if plain else ZERO)
            else:
                return None
        total[exponent] = total.get(exponent, ZERO) + number
    return total


def _exponent(node: Node, letter: str) -> Fraction | None:
    match node:
        case Letter(name) if name == letter:
            return Fraction(1)
        case Power(Letter(name), exponent) if name == letter and not letters(exponent):
            return rational(exponent)
        case Root(Letter(name), index) if name == letter and not letters(index):
            found = rational(index)
            return None if not found else 1 / found
    return None


def _in_repeated(first: Node, second: Node, letter: str) -> QuadraticForm | None:
    """See a*(p)^2 + b*(p) + c = 0 with the same sum p."""
    inner = next(
        (
            one.base
            for _, term in terms_of(first)
            for one in flat_factors(term)
            if isinstance(one, Power) and isinstance(one.base, Sum) and rational(one.exponent) == 2
        ),
        None,
    )
    numbers = None if inner is None else coefficients(inner, letter)
    right = coefficients(second, letter)
    if inner is None or numbers is None or right is None or len(right) > 1:
        return None
    total = coefficients(exchanged(first, inner, Letter(_HELD)), _HELD)
    if total is None or len(total) != 3 or not total[1]:
        return None
    end = right[0] if right else ZERO
    return QuadraticForm(Equation(total[::-1], (ZERO, ZERO, end)), 1, numbers)


_HELD: Final = "[p]"
"""The letter that stands for p; no problem has one of this name."""
