"""Factoring: the common factor first, then the rest by its shape."""

from __future__ import annotations

from fractions import Fraction
from math import gcd
from typing import NamedTuple

from pipeline.errors import CannotBeWorked
from pipeline.exact.evaluate import integer_root
from pipeline.exact.numbers import Surd
from pipeline.exact.polynomials import Monomial, Polynomial, tree_of_polynomial
from pipeline.exact.trees import Node
from pipeline.procedures.equations import Linear
from pipeline.procedures.operations import pair_of_factors
from pipeline.procedures.walk import Place, Walk

Factors = tuple[Polynomial, ...]
"""Factors whose product is the expression on the right path."""


class Squares(NamedTuple):
    """The expression sign*first^2 + other*second^2 with single terms first and second."""

    first: Polynomial
    second: Polynomial
    sign: int
    other: int


class Cubes(NamedTuple):
    """The expression first^3 + sign*second^3 with single terms first and second."""

    first: Polynomial
    second: Polynomial
    sign: int


class Trinomial(NamedTuple):
    """The expression a*u^2 + b*u*v + c*v^2; v is 1 for one letter."""

    a: Surd
    b: Surd
    c: Surd
    u: Polynomial
    v: Polynomial


def take_out_common_factor(whole: Polynomial) -> tuple[Polynomial, Polynomial]:
    """Take out the greatest number and letters that divide all terms."""
    numbers = [value.as_fraction() for value in whole.terms.values() if value.is_rational]
    if len(numbers) != len(whole.terms) or any(number.denominator != 1 for number in numbers):
        return Polynomial.constant(1), whole
    monomials = [dict(monomial) for monomial in whole.terms]
    shared = {name: min(one.get(name, 0) for one in monomials) for name in whole.letters}
    size = gcd(*(int(number) for number in numbers))
    if whole.ordered()[0][1].real_sign() < 0 and not _is_difference_of_squares(whole):
        size = -size
    common = tuple(sorted((name, least) for name, least in shared.items() if least))
    outside = Polynomial({common: Surd.of(size)})
    rest = {_less(monomial, shared): value / size for monomial, value in whole.terms.items()}
    return outside, Polynomial(rest)


def _is_difference_of_squares(whole: Polynomial) -> bool:
    """Whether a minus before the leading term belongs to a difference of squares."""
    squares = squares_of(whole)
    return squares is not None and squares.sign != squares.other


def _less(monomial: Monomial, shared: dict[str, int]) -> Monomial:
    left = ((name, power - shared.get(name, 0)) for name, power in monomial)
    return tuple((name, power) for name, power in left if power)


def factors_of_squares(squares: Squares) -> Factors:
    """Factor a difference of squares; a sum of squares has no factors."""
    first, second = squares.first, squares.second
    if squares.sign == squares.other:
        return (first * first * squares.sign + second * second * squares.other,)
    return (first + second) * squares.sign, first - second


def factors_of_cubes(cubes: Cubes) -> Factors:
    """Factor a sum or difference of cubes into a binomial and a trinomial."""
    u, v = cubes.first, cubes.second * cubes.sign
    return u + v, u * u - u * v + v * v


def factors_of_trinomial(trinomial: Trinomial) -> tuple[Linear, ...]:
    """Factor a trinomial into two pairs of whole numbers; none where there are none."""
    try:
        return pair_of_factors(trinomial.a, trinomial.b, trinomial.c)
    except CannotBeWorked:
        return ()


def join_factors(outside: Polynomial, factors: Factors) -> Polynomial:
    """Write the common factor and the others as one product."""
    product = outside
    for factor in factors:
        product = product * factor
    return product


def factor_out(step: Walk, whole: Polynomial) -> Node:
    """Factor a polynomial, and return the product of the factors that came out."""
    outside, rest = step.do(take_out_common_factor, Place.FACTOR, whole)
    factors = _factors(step, rest)
    return tree_of_polynomial(step.do(join_factors, Place.FACTOR, outside, factors))


def _factors(step: Walk, rest: Polynomial) -> Factors:
    squares = squares_of(rest)
    if squares is not None:
        return step.do(factors_of_squares, Place.FACTOR, squares)
    cubes = cubes_of(rest)
    if cubes is not None:
        return step.do(factors_of_cubes, Place.FACTOR, cubes)
    trinomial = trinomial_of(rest)
    if trinomial is None:
        return (rest,)
    pairs = step.do(factors_of_trinomial, Place.FACTOR, trinomial)
    if not pairs:
        return (rest,)
    lead = _lead(trinomial, pairs)
    return tuple(trinomial.u * one.p + trinomial.v * one.q for one in pairs) + lead


def _lead(trinomial: Trinomial, pairs: tuple[Linear, ...]) -> Factors:
    """A factor that is left where the pairs belong to a multiple of the trinomial."""
    ratio = trinomial.a / (pairs[0].p * pairs[1].p) if len(pairs) == 2 else Surd.of(1)
    return () if ratio == 1 else (Polynomial.constant(ratio),)


def squares_of(rest: Polynomial) -> Squares | None:
    """See a polynomial as plus or minus one square plus or minus another."""
    found = _two_powers(rest, 2)
    return None if found is None else Squares(*found)


def cubes_of(rest: Polynomial) -> Cubes | None:
    """See a polynomial as one cube plus or minus another."""
    found = _two_powers(rest, 3)
    return None if found is None or found[2] < 0 else Cubes(found[0], found[1], found[3])


def _two_powers(rest: Polynomial, index: int) -> tuple[Polynomial, Polynomial, int, int] | None:
    """The roots of two terms without their signs, and these; None where one does not come out."""
    if len(rest.terms) != 2:
        return None
    (first, one), (second, two) = rest.ordered()
    left, right = _root_of_term(first, one, index), _root_of_term(second, two, index)
    if left is None or right is None:
        return None
    return left, right, one.real_sign(), two.real_sign()


def _root_of_term(monomial: Monomial, value: Surd, index: int) -> Polynomial | None:
    """The root of a single term without its sign, None where it does not come out."""
    if not value.is_rational or any(exponent % index for _, exponent in monomial):
        return None
    size = abs(value.as_fraction())
    top, below = integer_root(size.numerator, index), integer_root(size.denominator, index)
    if top is None or below is None:
        return None
    rooted = tuple((name, exponent // index) for name, exponent in monomial)
    return Polynomial({rooted: Surd.of(Fraction(top, below))})


def trinomial_of(rest: Polynomial) -> Trinomial | None:
    """See a polynomial as a quadratic in one letter, in a power of it, or in two letters."""
    names = sorted(rest.letters)
    if not 1 <= len(names) <= 2 or len(rest.terms) != 3:
        return None
    high, half = rest.degree(names[0]), rest.degree(names[0]) // 2
    second = names[1] if len(names) == 2 else None
    low = rest.degree(second) // 2 if second else 0
    if not half or high != 2 * half:
        return None
    u = Polynomial({((names[0], half),): Surd.of(1)})
    v = Polynomial({((second, low),): Surd.of(1)}) if second and low else Polynomial.constant(1)
    wanted = [next(iter((u * u).terms)), next(iter((u * v).terms)), next(iter((v * v).terms))]
    found = [rest.terms.get(monomial) for monomial in wanted]
    a, b, c = found
    return Trinomial(a, b, c, u, v) if a is not None and b is not None and c is not None else None
