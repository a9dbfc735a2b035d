"""The named operations that solution procedures are made of, each in its right version.

A pattern declares a faulty version beside one of them; it takes the same arguments.
Places tell apart where a procedure uses an operation.
"""

from __future__ import annotations

from functools import lru_cache
from math import gcd, isqrt, lcm
from typing import NamedTuple

from pipeline.errors import CannotBeWorked
from pipeline.exact.numbers import Surd
from pipeline.procedures.equations import ONE, ZERO, Equation, Linear
from pipeline.procedures.walk import ALL_REAL, NO_SOLUTION, needed

Roots = frozenset[Surd]
"""A solution set."""


class Lone(NamedTuple):
    """A root taken without thinking of the second sign."""

    value: Surd


def copy_equation(equation: Equation) -> Equation:
    """Write the equation down."""
    return equation


def read_coefficients(equation: Equation) -> Equation:
    """Bring the equation to zero form before its coefficients are read."""
    return equation


def carry_constant(here: Surd, there: Surd) -> Surd:
    """Carry the constant `there` across the equals sign to `here`."""
    return here - there


def carry_unknown(here: Surd, there: Surd) -> Surd:
    """Carry a term with the unknown, of coefficient `there`, across to `here`."""
    return here - there


def half(number: Surd) -> Surd:
    """Halve the coefficient of the unknown."""
    return number / 2


def square(number: Surd, whole: Surd) -> Surd:
    """Square a number; `whole` is the coefficient of the unknown that it comes from."""
    return number * number


def add_square(right: Surd, added: Surd) -> Surd:
    """Add the square to the right side, as to the left."""
    return right + added


def binomial_term(number: Surd, squared: Surd, whole: Surd) -> Surd:
    """Return h of the binomial (x + h)^2."""
    return number


def divide_by_leading(a: Surd, b: Surd, right: Surd) -> tuple[Surd, Surd]:
    """Divide both sides of a*x^2 + b*x = right by a."""
    return b / a, right / a


def divide_off(scale: Surd, right: Surd) -> tuple[Surd, Surd]:
    """From scale*(...)^2 = right return the square's value and what is left before the root."""
    return right / scale, ONE


def isolate_square(scale: Surd, rest: Surd, right: Surd) -> tuple[Surd, Surd] | None:
    """Decide to carry the constant away before any root is taken."""
    return None


def root(radicand: Surd) -> Surd | Lone:
    """Take the principal square root."""
    return needed(Surd.root_of(radicand))


def branches(value: Surd | Lone) -> tuple[Surd, ...]:
    """Give a root both signs."""
    if isinstance(value, Lone):
        return (value.value,)
    return (value, -value) if value else (value,)


def shift_back(shift: Surd) -> Surd:
    """From x + shift = value return what is added to the value."""
    return -shift


def add_shift(carried: Surd, signed: tuple[Surd, ...]) -> tuple[Surd, ...]:
    """Add what was carried across to each of the signed roots."""
    return tuple(carried + one for one in signed)


def divide_each(signed: tuple[Surd, ...], p: Surd) -> tuple[Surd, ...]:
    """From p*x = value return x, for each value."""
    return tuple(one / p for one in signed)


def negate(number: Surd) -> Surd:
    """Return -b."""
    return -number


def four_a_c(a: Surd, c: Surd) -> Surd:
    """Return 4ac."""
    return 4 * a * c


def difference(square_of_b: Surd, product: Surd) -> Surd:
    """Return b^2 - 4ac."""
    return square_of_b - product


def twice_leading(a: Surd) -> Surd:
    """Return 2a."""
    return 2 * a


def quotients(minus_b: Surd, signed: tuple[Surd, ...], below: Surd) -> Roots:
    """Divide -b with each signed root by 2a."""
    return frozenset((minus_b + root) / below for root in signed)


def gather_right_side(equation: Equation) -> tuple[tuple[Linear, ...], Surd] | None:
    """Decide to bring the equation to zero form before the product is split."""
    return None


def take_out_unknown(a: Surd, b: Surd) -> tuple[Linear, ...]:
    """Factor a*x^2 + b*x as x*(a*x + b)."""
    return Linear(ONE, ZERO), Linear(a, b)


@lru_cache(maxsize=4096)
def primitive(a: Surd, b: Surd, c: Surd) -> tuple[int, int, int] | None:
    """Return rational coefficients as whole ones without a common factor, the first positive."""
    if not (a.is_rational and b.is_rational and c.is_rational):
        return None
    common = lcm(a.denominator, b.denominator, c.denominator)
    whole = [int((number * common).as_fraction()) for number in (a, b, c)]
    divisor = gcd(*whole) or 1
    if whole[0] < 0:
        divisor = -divisor
    return whole[0] // divisor, whole[1] // divisor, whole[2] // divisor


def pair_of_factors(a: Surd, b: Surd, c: Surd) -> tuple[Linear, ...]:
    """Factor a quadratic with whole coefficients into (p*x + q)(r*x + s), all of them whole."""
    first, middle, last = needed(primitive(a, b, c))
    discriminant = middle * middle - 4 * first * last
    if discriminant < 0 or isqrt(discriminant) ** 2 != discriminant:
        raise CannotBeWorked
    found = []
    for sign in (1, -1):
        numerator, denominator = -middle + sign * isqrt(discriminant), 2 * first
        common = gcd(numerator, denominator)
        found.append(Linear(Surd.of(denominator // common), Surd.of(-numerator // common)))
    return tuple(found)


def carry_constants(factors: tuple[Linear, ...], right: Surd) -> tuple[Linear, ...]:
    """From p*x + q = right, which is 0 on the right path, go on to p*x = right - q."""
    return tuple([Linear(factor.p, right - factor.q) for factor in factors])


def divide_factors(carried: tuple[Linear, ...]) -> tuple[Surd, ...]:
    """From p*x = q return x, for each factor."""
    return tuple([factor.q / factor.p for factor in carried])


def report(roots: Roots) -> Roots:
    """Answer with all roots found."""
    return roots


def distribute(k: Surd, p: Surd, q: Surd) -> tuple[Surd, Surd]:
    """Multiply out k*(p*x + q)."""
    return k * p, k * q


def start_isolating(a: Surd, b: Surd, right: Surd) -> tuple[Surd, Surd, Surd]:
    """Leave a*x + b = right as it is until b has been carried across."""
    return a, b, right


def coefficient_of_unknown(a: Surd) -> Surd:
    """Read off what the unknown is multiplied by, with its sign."""
    return a


def divide(right: Surd, a: Surd) -> Surd:
    """From a*x = right return x."""
    return right / a


def place_point(quotient: Surd, right: Surd, a: Surd) -> Surd:
    """Put the decimal point into what right/a comes to, where decimals are typed."""
    return quotient


def line_up_points(total: Surd, here: Surd, there: Surd) -> Surd:
    """Line decimals up at their points before one is carried across."""
    return total


def conclude(right: Surd) -> str | Roots:
    """Conclude from 0 = right: every number is a solution, or none."""
    return NO_SOLUTION if right else ALL_REAL


def read_vertex(p: Surd, q: Surd, rest: Surd) -> tuple[Surd, Surd]:
    """Read (h, k) off (p*x + q)^2 and the constant after it."""
    return -q / p, rest


def axis(a: Surd, b: Surd) -> Surd:
    """Return the axis of symmetry -b/(2a)."""
    return -b / (2 * a)


def height_at(a: Surd, b: Surd, c: Surd, x: Surd) -> Surd:
    """Evaluate a*x^2 + b*x + c."""
    return (a * x + b) * x + c
