"""Whether a polynomial can be factored over the rationals."""

from __future__ import annotations

from functools import lru_cache
from math import isqrt

from pipeline.exact.content import rational_content
from pipeline.exact.monomials import Polynomial
from pipeline.exact.numbers import Surd


@lru_cache(maxsize=4096)
def is_irreducible(value: Polynomial) -> bool:
    """Whether no number, letter or factor of smaller degree divides a polynomial.

    Quadratics in one letter are decided by the discriminant, cubics by their rational roots; the
    rest is left to sympy's factorization, which is loaded only then.
    """
    if value.is_constant:
        return True
    if not all(number.is_rational for number in value.terms.values()):
        return value.degree() <= 1
    if abs(rational_content(value)) != 1 or _common_letter(value):
        return False
    if value.degree() == 1:
        return True
    names = value.letters
    if len(names) == 1 and value.degree() == 2:
        return not _square_discriminant(value.coefficients(next(iter(names))))
    return _irreducible_by_sympy(value)


def _common_letter(value: Polynomial) -> bool:
    if len(value.terms) == 1:
        ((monomial, _),) = value.terms.items()
        return sum(power for _, power in monomial) > 1
    shared = set(value.letters)
    for monomial in value.terms:
        shared &= {name for name, _ in monomial}
    return bool(shared)


def _square_discriminant(factors: list[Surd]) -> bool:
    c, b, a = (factor.as_fraction() for factor in factors)
    found = b * b - 4 * a * c
    if found < 0:
        return False
    upper, lower = isqrt(found.numerator), isqrt(found.denominator)
    return upper * upper == found.numerator and lower * lower == found.denominator


def _irreducible_by_sympy(value: Polynomial) -> bool:
    import sympy

    symbols = {name: sympy.Symbol(name) for name in value.letters}
    total = sympy.Integer(0)
    for monomial, number in value.terms.items():
        fraction = number.as_fraction()
        term = sympy.Rational(fraction.numerator, fraction.denominator)
        for name, power in monomial:
            term *= symbols[name] ** power
        total += term
    _, factors = sympy.factor_list(total)
    return len(factors) == 1 and factors[0][1] == 1
