"""Square factors of integers, and products of square roots."""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache
from math import gcd, inf, isqrt, sqrt

from pipeline.errors import BudgetExceeded

MAX_RADICAND = 10**18
"""Largest radicand whose square factors are looked for; its cube root bounds the trial division."""


@lru_cache(maxsize=65536)
def square_part(number: int) -> tuple[int, int]:
    """Split a nonzero integer as s*s*d with d squarefree, and return (s, d); d carries the sign.

    After trial division up to the cube root, what is left is squarefree or a square of a prime.

    Raises:
        BudgetExceeded: what is left after small factors is over `MAX_RADICAND`.
    """
    sign, rest, outside, inside = (-1 if number < 0 else 1), abs(number), 1, 1
    factor = 2
    while factor * factor * factor <= rest:
        if factor > 10_000 and rest > MAX_RADICAND:
            raise BudgetExceeded("the number under a radical is too large to be simplified")
        while rest % (factor * factor) == 0:
            rest //= factor * factor
            outside *= factor
        if rest % factor == 0:
            rest //= factor
            inside *= factor
        factor += 1 if factor == 2 else 2
    root = isqrt(rest)
    if root * root == rest:
        return outside * root, sign * inside
    return outside, sign * inside * rest


def radical_product(first: int, second: int) -> tuple[int, int]:
    """Return (c, d) with sqrt(first)*sqrt(second) = c*sqrt(d), all radicands squarefree."""
    common = gcd(first, second)
    radicand = (first // common) * (second // common)
    return (-common if first < 0 and second < 0 else common), radicand


def smallest_prime(number: int) -> int:
    """Return the smallest prime factor of an integer over 1."""
    factor = 2
    while factor * factor <= number:
        if number % factor == 0:
            return factor
        factor += 1
    return number


def sign_of_terms(terms: tuple[tuple[int, int], ...]) -> int:
    """Return the sign of a sum of coefficients times real square roots."""
    if not terms:
        return 0
    bits = 64
    while True:
        total = slack = 0
        for d, n in terms:
            total += n * isqrt(d << (2 * bits)) if n >= 0 else -(-n * isqrt(d << (2 * bits)))
            slack += abs(n)
        if abs(total) > slack:
            return 1 if total > 0 else -1
        bits *= 2


def denested(
    terms: tuple[tuple[int, int], ...], denominator: int
) -> tuple[Fraction, Fraction] | None:
    """Return x and y with sqrt(p + q*sqrt(d)) = sqrt(x) + sqrt(y) or their difference, or None."""
    coefficients = dict(terms)
    plain = Fraction(coefficients.pop(1, 0), denominator)
    if len(coefficients) != 1:
        return None
    ((radicand, scale),) = coefficients.items()
    inner = plain * plain - Fraction(scale, denominator) ** 2 * radicand
    if inner < 0 or isqrt(inner.numerator) ** 2 != inner.numerator:
        return None
    if isqrt(inner.denominator) ** 2 != inner.denominator:
        return None
    norm = Fraction(isqrt(inner.numerator), isqrt(inner.denominator))
    return (plain + norm) / 2, (plain - norm) / 2


def conjugate_terms(terms: tuple[tuple[int, int], ...]) -> list[tuple[int, int]]:
    """Flip one prime (or i) under all radicals: the product with it has one prime fewer."""
    radicand = terms[-1][0] if terms[-1][0] != 1 else terms[0][0]
    prime = -1 if radicand < 0 and terms[0][0] < 0 else smallest_prime(abs(radicand))
    return [(d, -n if (d < 0 if prime == -1 else d % prime == 0) else n) for d, n in terms]


def approximate_terms(terms: tuple[tuple[int, int], ...], denominator: int) -> complex:
    """Return the sum of the terms over a denominator as a machine number, infinite if too large."""
    real = sum(_machine_number(n, d, denominator) for d, n in terms if d > 0)
    return complex(real, sum(_machine_number(n, -d, denominator) for d, n in terms if d < 0))


def _machine_number(factor: int, radicand: int, denominator: int) -> float:
    try:
        return factor / denominator * sqrt(radicand)
    except OverflowError:
        return inf if factor > 0 else -inf
