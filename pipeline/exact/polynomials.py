"""Syntax trees as polynomials and as fractions of polynomials, divided in any letters."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from typing import TypeAlias

from pipeline.errors import BudgetExceeded
from pipeline.exact.coefficients import common_divisor
from pipeline.exact.evaluate import power_of, surd_of
from pipeline.exact.monomials import MAX_DEGREE, MAX_TERMS, Monomial, Polynomial
from pipeline.exact.numbers import Surd
from pipeline.exact.trees import (
    Absolute,
    Constant,
    Letter,
    Negation,
    Node,
    Numeral,
    Power,
    Product,
    Quotient,
    Root,
    Sum,
)

__all__ = [
    "MAX_DEGREE",
    "MAX_TERMS",
    "Monomial",
    "Polynomial",
    "divide_exactly",
    "fraction_of",
    "greatest_common_divisor",
    "polynomial_of",
    "reduce_fraction",
]

_MAX_STEPS = 300
_ZERO = Polynomial({})
_ONE = Polynomial.constant(1)


def _monomial_quotient(upper: Monomial, lower: Monomial) -> Monomial | None:
    powers = dict(upper)
    for name, power in lower:
        if powers.get(name, 0) < power:
            return None
        powers[name] -= power
    return tuple(sorted((name, power) for name, power in powers.items() if power))


def divide_exactly(upper: Polynomial, lower: Polynomial) -> Polynomial | None:
    """Return the quotient in any letters, or None when a remainder is left."""
    names = sorted(upper.letters | lower.letters)

    def rank(term: tuple[Monomial, Surd]) -> list[int]:
        powers = dict(term[0])
        return [powers.get(name, 0) for name in names]

    leading, coefficient = max(lower.terms.items(), key=rank)
    rest, quotient = upper, _ZERO
    for _ in range(_MAX_STEPS):
        if not rest:
            return quotient
        monomial, value = max(rest.terms.items(), key=rank)
        power = _monomial_quotient(monomial, leading)
        if power is None:
            return None
        piece = Polynomial({power: value / coefficient})
        quotient, rest = quotient + piece, rest - piece * lower
    raise BudgetExceeded("the division is too long")


def greatest_common_divisor(first: Polynomial, second: Polynomial) -> Polynomial:
    """Return the common divisor of largest degree, monic; 1 when there is none.

    Euclid over the field of coefficients in one letter; in several letters the primitive
    remainder sequence, one letter after another (Knuth, The Art of Computer Programming 2, 4.6.1).
    """
    if not first or not second:
        return (first or second).monic()
    shared = first.letters | second.letters
    if not shared or first.is_constant or second.is_constant:
        return _ONE
    letter = min(shared)
    if len(shared) == 1:
        one, two = (tuple(part.coefficients(letter)) for part in (first, second))
        return Polynomial.univariate(letter, common_divisor(one, two))
    return _several_letters(first, second, letter)


def _several_letters(first: Polynomial, second: Polynomial, letter: str) -> Polynomial:
    content_one, content_two = _content(first, letter), _content(second, letter)
    common = greatest_common_divisor(content_one, content_two)
    left, right = _exact(first, content_one), _exact(second, content_two)
    if left.degree(letter) < right.degree(letter):
        left, right = right, left
    while right.degree(letter) > 0:
        rest = _pseudo_remainder(left, right, letter)
        if not rest:
            return (common * right).monic()
        left, right = right, _exact(rest, _content(rest, letter))
    return common.monic() if right else (common * left).monic()


def _content(value: Polynomial, letter: str) -> Polynomial:
    content = _ZERO
    for part in value.collected(letter):
        content = greatest_common_divisor(content, part) if content or part else content
    return content or _ONE


def _exact(value: Polynomial, divisor: Polynomial) -> Polynomial:
    quotient = divide_exactly(value, divisor)
    if quotient is None:
        raise BudgetExceeded("the common divisor does not divide")
    return quotient


def _pseudo_remainder(upper: Polynomial, lower: Polynomial, letter: str) -> Polynomial:
    degree = lower.degree(letter)
    leading = lower.collected(letter)[-1]
    rest = upper
    for _ in range(_MAX_STEPS):
        if not rest or rest.degree(letter) < degree:
            return rest
        shift = rest.degree(letter) - degree
        power = Polynomial({((letter, shift),) if shift else (): Surd.of(1)})
        rest = rest * leading - lower * rest.collected(letter)[-1] * power
    raise BudgetExceeded("the division is too long")


Ratio: TypeAlias = tuple[Polynomial, Polynomial]
"""Numerator and denominator."""
_Combine: TypeAlias = Callable[[Ratio, Ratio], Ratio]


def polynomial_of(node: Node) -> Polynomial | None:
    """Return a tree as a polynomial, or None when it is none or too large to expand.

    Raises:
        ZeroDivisionError: something is divided by a constant zero.
    """
    try:
        return _polynomial(node)
    except BudgetExceeded:
        return None


def fraction_of(node: Node) -> Ratio | None:
    """Return a tree as numerator and denominator without common factor, or None.

    The denominator is monic, so equal fractions are equal pairs.

    Raises:
        ZeroDivisionError: something is divided by zero.
    """
    try:
        ratio = _fraction(node)
        return None if ratio is None else reduce_fraction(*ratio)
    except BudgetExceeded:
        return None


@lru_cache(maxsize=16384)
def _polynomial(node: Node) -> Polynomial | None:  # noqa: PLR0911 - one a kind
    match node:
        case Numeral(number):
            return Polynomial.constant(number)
        case Letter(name):
            return Polynomial.letter(name)
        case Constant("i"):
            return Polynomial.constant(Surd(((-1, 1),)))
        case Negation(part):
            value = _polynomial(part)
            return None if value is None else -value
        case Sum(parts) | Product(parts):
            return _fold(parts, isinstance(node, Sum))
        case Quotient(upper, lower):
            return _quotient(_polynomial(upper), _polynomial(lower))
        case Power(Root(radicand, Numeral(index)), Numeral(exponent)) if exponent % index == 0:
            return _power(_polynomial(radicand), Polynomial.constant(exponent / index))
        case Power(base, exponent):
            return _power(_polynomial(base), _polynomial(exponent))
        case Root() | Absolute():
            exact = surd_of(node)
            return None if exact is None else Polynomial.constant(exact)
    return None


def _fold(parts: tuple[Node, ...], adding: bool) -> Polynomial | None:
    total: Polynomial | None = None
    for part in parts:
        value = _polynomial(part)
        if value is None:
            return None
        if total is not None:
            value = total + value if adding else total * value
        total = value
    return total


def _quotient(upper: Polynomial | None, lower: Polynomial | None) -> Polynomial | None:
    if lower is not None and not lower:
        raise ZeroDivisionError("division by zero")
    if upper is None or lower is None or not lower.is_constant:
        return None
    return upper * (Surd.of(1) / lower.constant_term)


def _power(base: Polynomial | None, exponent: Polynomial | None) -> Polynomial | None:
    if base is None or exponent is None or not exponent.is_constant:
        return None
    number = exponent.constant_term
    if not number.is_rational:
        return None
    if base.is_constant:
        value = power_of(base.constant_term, number.as_fraction())
        return None if value is None else Polynomial.constant(value)
    if not number.is_integer or number.real_sign() < 0:
        return None
    return base ** number.as_fraction().numerator


def _fraction(node: Node) -> Ratio | None:
    match node:
        case Negation(part):
            ratio = _fraction(part)
            return None if ratio is None else (-ratio[0], ratio[1])
        case Sum(parts):
            return _joined(parts, _add)
        case Product(parts):
            return _joined(parts, lambda a, b: (a[0] * b[0], a[1] * b[1]))
        case Quotient(upper, lower):
            return _over(_fraction(upper), _fraction(lower))
        case Power(base, exponent):
            return _ratio_power(base, exponent)
    value = _polynomial(node)
    return None if value is None else (value, _ONE)


def _joined(parts: tuple[Node, ...], combine: _Combine) -> Ratio | None:
    total: Ratio | None = None
    for part in parts:
        ratio = _fraction(part)
        if ratio is None:
            return None
        total = ratio if total is None else combine(total, ratio)
    return total


def _add(left: Ratio, right: Ratio) -> Ratio:
    if left[1] == right[1]:
        return left[0] + right[0], left[1]
    return left[0] * right[1] + right[0] * left[1], left[1] * right[1]


def _over(upper: Ratio | None, lower: Ratio | None) -> Ratio | None:
    if upper is None or lower is None:
        return None
    if not lower[0]:
        raise ZeroDivisionError("division by zero")
    return upper[0] * lower[1], upper[1] * lower[0]


def _ratio_power(base: Node, exponent: Node) -> Ratio | None:
    whole = _polynomial(Power(base, exponent))
    if whole is not None:
        return whole, _ONE
    ratio, number = _fraction(base), _polynomial(exponent)
    if ratio is None or number is None or not number.is_constant:
        return None
    if not number.constant_term.is_integer:
        return None
    power = number.constant_term.as_fraction().numerator
    if power >= 0:
        return ratio[0] ** power, ratio[1] ** power
    if not ratio[0]:
        raise ZeroDivisionError("division by zero")
    return ratio[1] ** -power, ratio[0] ** -power


def reduce_fraction(upper: Polynomial, lower: Polynomial) -> Ratio:
    """Divide out what numerator and denominator share and make the denominator monic."""
    if lower.is_constant:
        return upper * (Surd.of(1) / lower.constant_term), _ONE
    common = greatest_common_divisor(upper, lower)
    if not common.is_constant:
        upper = divide_exactly(upper, common) or upper
        lower = divide_exactly(lower, common) or lower
    leading = Surd.of(1) / lower.ordered()[0][1]
    return upper * leading, lower * leading
