"""Whole-number factors that all terms share."""

from __future__ import annotations

from fractions import Fraction
from math import gcd

from pipeline.exact.monomials import Polynomial
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


def rational_content(value: Polynomial) -> Fraction:
    """Return the largest rational by which all rational coefficients can be divided to integers.

    Irrational coefficients count as 1.
    """
    upper, lower = 0, 1
    for coefficient in value.terms.values():
        if not coefficient.is_rational:
            return Fraction(1)
        number = coefficient.as_fraction()
        upper = gcd(upper, number.numerator)
        lower = lower * number.denominator // gcd(lower, number.denominator)
    return Fraction(upper or 1, lower)
