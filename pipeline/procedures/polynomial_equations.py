"""Polynomial equations of degree three and more, by factoring, and equations in quadratic form."""

from __future__ import annotations

from typing import NamedTuple

from pipeline.errors import CannotBeWorked
from pipeline.exact.coefficients import Coefficients, exact_roots
from pipeline.exact.numbers import Surd
from pipeline.procedures import operations as op
from pipeline.procedures.equations import ZERO, Equation
from pipeline.procedures.places import Place
from pipeline.procedures.quadratic import factor
from pipeline.procedures.statements import NO_SOLUTION
from pipeline.procedures.walk import Walk


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
    roots = exact_roots(numbers)
    if roots is None:
        raise CannotBeWorked
    return roots


def solve_polynomial(step: Walk, numbers: Coefficients) -> object:
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


def _unknowns(value: Surd, power: int, inner: Coefficients) -> set[Surd]:
    if inner:
        roots = exact_roots((inner[0] - value, *inner[1:]))
        if roots is None:
            raise CannotBeWorked
        return set(roots)
    if power == -1:
        return {1 / value} if value else set()
    if power == 0:
        return {value * value} if value.is_real and value.real_sign() >= 0 else set()
    if power == -3:
        return {value**3} if value.is_real else set()
    roots = exact_roots((-value, *[ZERO] * (power - 1), Surd.of(1)))
    if roots is None:
        raise CannotBeWorked
    return set(roots)


def solve_in_quadratic_form(step: Walk, start: QuadraticForm) -> object:
    """Solve the quadratic in u, then go back from u to the unknown."""
    step.write("substitute", start.power, start.inner)
    values = factor(step, start.quadratic)
    if not isinstance(values, frozenset):
        raise CannotBeWorked
    found = step.do(substitute_back, Place.QUADRATIC_FORM, values, start.power, start.inner)
    return _reported(step, Place.QUADRATIC_FORM, found)
