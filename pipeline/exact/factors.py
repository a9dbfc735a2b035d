"""Whole-number factors that all terms share, and whether a polynomial has factors at all."""

from __future__ import annotations

from functools import lru_cache
from math import gcd, lcm

from pipeline.exact.numbers import Surd
from pipeline.exact.polynomials import Polynomial
from pipeline.exact.trees import Negation, Node, Numeral, Power, Product, Sum


def integer_content(node: Node) -> int:
    """Return the largest whole number that visibly divides every term of a tree."""
    match node:
        case Numeral(value):
            return abs(value.numerator) if value.denominator == 1 else 1
        case Negation(part):
            return integer_content(part)
        case Sum(terms):
            return gcd(*(integer_content(term) for term in terms))
        case Product(factors):
            total = 1
            for factor in factors:
                total *= integer_content(factor)
            return total
        case Power(Numeral(value), Numeral(exponent)) if exponent == 2:
            return abs(value.numerator)
    return 1


def common_integer_factor(first: Node, second: Node) -> int:
    """Return the whole number that numerator and denominator share; 1 when there is none."""
    return gcd(integer_content(first), integer_content(second)) or 1


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
    numbers = [number.as_fraction() for number in value.terms.values()]
    above, below = (
        gcd(*(one.numerator for one in numbers)),
        lcm(*(one.denominator for one in numbers)),
    )
    if above != below or _common_letter(value):
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
    return bool(frozenset.intersection(*(frozenset(dict(one)) for one in value.terms)))


def _square_discriminant(factors: list[Surd]) -> bool:
    c, b, a = factors
    root = Surd.root_of(b * b - 4 * a * c)
    return root is not None and root.is_rational


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
