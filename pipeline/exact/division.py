"""Division and greatest common divisors of polynomials in any letters."""

from __future__ import annotations

from pipeline.errors import BudgetExceeded
from pipeline.exact.coefficients import common_divisor
from pipeline.exact.monomials import Monomial, Polynomial
from pipeline.exact.numbers import Surd

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
