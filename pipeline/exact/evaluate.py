"""Exact values of syntax trees, and trees of exact values as textbooks print them."""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache
from math import isqrt
from operator import add, mul

from pipeline.errors import BudgetExceeded
from pipeline.exact.numbers import Surd
from pipeline.exact.trees import (
    Absolute,
    Constant,
    Negation,
    Node,
    Numeral,
    Power,
    Product,
    Quotient,
    Root,
    Sum,
    folded,
)

MAX_EXPONENT = 1000
"""Largest exponent of a number; digits are bounded by the number itself."""

_IMAGINARY = Surd(((-1, 1),))


def surd_of(node: Node) -> Surd | None:  # noqa: PLR0911 - one a kind
    """Return the exact value of a tree, or None where letters or other numbers occur.

    Raises:
        ZeroDivisionError: something is divided by zero.
        BudgetExceeded: the value has too many digits or radicals.
    """
    match node:
        case Numeral(number):
            return Surd.of(number)
        case Constant("i"):
            return _IMAGINARY
        case Negation(part):
            value = surd_of(part)
            return None if value is None else -value
        case Sum(parts) | Product(parts):
            return folded(parts, surd_of, add if isinstance(node, Sum) else mul)
        case Quotient(upper, lower):
            return _divided(surd_of(upper), surd_of(lower))
        case Power(base, exponent):
            value, power = surd_of(base), surd_of(exponent)
            return _power_of_root(base, power) if value is None else _powered(value, power)
        case Root(radicand, index):
            return _rooted(surd_of(radicand), surd_of(index))
        case Absolute(part):
            return _absolute(surd_of(part))
    return None


def _divided(upper: Surd | None, lower: Surd | None) -> Surd | None:
    if lower is not None and not lower:
        raise ZeroDivisionError("division by zero")
    if upper is None or lower is None:
        return None
    return upper / lower


def _powered(base: Surd | None, exponent: Surd | None) -> Surd | None:
    if base is None or exponent is None or not exponent.is_rational:
        return None
    return power_of(base, exponent.as_fraction())


def power_of(base: Surd, exponent: Fraction) -> Surd | None:
    """Return base**exponent where it is a surd: whole exponents and roots that come out.

    Raises:
        ZeroDivisionError: zero with an exponent of zero or less.
        BudgetExceeded: the exponent is over `MAX_EXPONENT` or the value has too many digits.
    """
    if not base:
        if exponent <= 0:
            raise ZeroDivisionError("zero to a power of zero or less")
        return base
    if abs(exponent.numerator) > MAX_EXPONENT or exponent.denominator > MAX_EXPONENT:
        raise BudgetExceeded("the exponent is too large")
    if exponent.denominator == 1:
        return base**exponent.numerator
    rooted = root_of(base, exponent.denominator)
    return None if rooted is None else rooted**exponent.numerator


def _power_of_root(base: Node, exponent: Surd | None) -> Surd | None:
    """Return (∛2)^3 and (2^(1/3))^3, where the root alone is no surd; None where none comes out."""
    if exponent is None or not exponent.is_integer:
        return None
    match base:
        case Root(inner, index):
            radicand, root = surd_of(inner), surd_of(Quotient(Numeral(Fraction(1)), index))
        case Power(inner, power):
            radicand, root = surd_of(inner), surd_of(power)
        case _:
            return None
    if radicand is None or root is None or not (radicand.is_rational and root.is_rational):
        return None
    if radicand.as_fraction() <= 0:
        return None
    return power_of(radicand, exponent.as_fraction() * root.as_fraction())


def _rooted(radicand: Surd | None, index: Surd | None) -> Surd | None:
    if radicand is None or index is None or not index.is_integer:
        return None
    return root_of(radicand, index.as_fraction().numerator)


def root_of(radicand: Surd, index: int) -> Surd | None:
    """Return the principal root, or the real one for an odd index; None when it is no surd."""
    if index < 1 or index > MAX_EXPONENT:
        return None
    if index == 1:
        return radicand
    if index == 2:
        return Surd.root_of(radicand)
    if not radicand.is_rational:
        return None
    value = radicand.as_fraction()
    if value < 0 and index % 2 == 0:
        return None
    if index % 2 == 0:
        half = Surd.root_of(radicand)
        return None if half is None else root_of(half, index // 2)
    upper = integer_root(abs(value.numerator), index)
    lower = integer_root(value.denominator, index)
    if upper is None or lower is None:
        return None
    return Surd.of(Fraction(-upper if value < 0 else upper, lower))


def integer_root(number: int, index: int) -> int | None:
    """Return the whole root of a nonnegative integer, or None when it does not come out."""
    if number < 2:
        return number
    if index == 2:
        root = isqrt(number)
        return root if root * root == number else None
    low, high = 1, 1 << (number.bit_length() // index + 1)
    while low < high:
        middle = (low + high + 1) // 2
        if middle**index <= number:
            low = middle
        else:
            high = middle - 1
    return low if low**index == number else None


def _absolute(value: Surd | None) -> Surd | None:
    if value is None:
        return None
    if value.is_real:
        return -value if value.real_sign() < 0 else value
    real = Surd(((d, n) for d, n in value.terms if d > 0), value.denominator)
    imaginary = Surd(((-d, n) for d, n in value.terms if d < 0), value.denominator)
    return Surd.root_of(real * real + imaginary * imaginary)


@lru_cache(maxsize=65536)
def tree_of_surd(value: Surd) -> Node:
    """Return the canonical form as a tree: rational part first, one fraction a term."""
    ordered = sorted(value.terms, key=lambda term: (term[0] != 1, term[0] < 0, abs(term[0])))
    if not ordered:
        return Numeral(Fraction(0))
    return sum_of([_surd_term(d, Fraction(n, value.denominator)) for d, n in ordered])


def sum_of(terms: list[Node]) -> Node:
    """Return the sum of one or more terms."""
    return terms[0] if len(terms) == 1 else Sum(tuple(terms))


def _surd_term(radicand: int, coefficient: Fraction) -> Node:
    factors: list[Node] = []
    if abs(radicand) != 1:
        factors.append(Root(Numeral(Fraction(abs(radicand)))))
    if radicand < 0:
        factors.append(Constant("i"))
    size = abs(coefficient)
    if size.numerator != 1 or not factors:
        factors.insert(0, Numeral(Fraction(size.numerator)))
    node = factors[0] if len(factors) == 1 else Product(tuple(factors))
    if size.denominator != 1:
        node = Quotient(node, Numeral(Fraction(size.denominator)))
    return Negation(node) if coefficient < 0 else node
