"""Exact numbers of school algebra: rational combinations of square roots of integers.

A `Surd` is (n1*sqrt(d1) + n2*sqrt(d2) + ...)/q with squarefree radicands d.
Square roots of different squarefree integers are linearly independent over the rationals
(Besicovitch 1940), so the sorted terms are a canonical form: equal numbers have equal fields.
Radicand 1 is the rational part and -1 is the imaginary unit; sqrt(-3) is i*sqrt(3).
Integers alone are used, which is several times faster in a walk than `fractions.Fraction`.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from functools import lru_cache, total_ordering
from math import gcd, inf, isqrt, sqrt
from typing import Any, TypeAlias, TypeVar

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


__all__ = ["MAX_BITS", "MAX_RADICAND", "MAX_TERMS", "Surd", "SurdLike", "square_part"]


MAX_TERMS = 16
"""Most radicals in one number; a product of two such numbers stays within 256 small steps."""
MAX_BITS = 4000
"""Largest coefficient, in bits (about 1,200 digits)."""


_T = TypeVar("_T", bound=Any)


def by_squaring(base: _T, exponent: int, one: _T) -> _T:
    """Raise what can be multiplied to a power of 0 or more; `one` is its power 0."""
    result = one
    while exponent:
        if exponent & 1:
            result = result * base
        exponent >>= 1
        if exponent:
            base = base * base
    return result


@total_ordering
class Surd:
    """An exact number; immutable and hashable, with `+ - * /`, integer powers and `sqrt`.

    Args:
        terms: pairs (radicand, coefficient) with squarefree nonzero radicands.
        denominator: a nonzero integer below all coefficients.
    """

    __slots__ = ("_hash", "denominator", "terms")
    terms: tuple[tuple[int, int], ...]
    denominator: int
    _hash: int | None

    def __init__(self, terms: Iterable[tuple[int, int]], denominator: int = 1) -> None:
        kept = [term for term in terms if term[1]]
        if len(kept) > 1:
            kept.sort()
        self._hash = None
        divisor = denominator
        for _, n in kept:
            divisor = gcd(divisor, n)
        if denominator < 0:
            divisor = -abs(divisor)
        if len(kept) > MAX_TERMS or denominator.bit_length() > MAX_BITS:
            raise BudgetExceeded("the number has too many radicals or digits")
        for _, n in kept:
            if n.bit_length() > MAX_BITS:
                raise BudgetExceeded("the number has too many digits")
        if divisor == 1:
            self.terms = tuple(kept)
            self.denominator = denominator if kept else 1
        else:
            self.terms = tuple([(d, n // divisor) for d, n in kept])
            self.denominator = denominator // divisor if kept else 1

    @classmethod
    def _rational(cls, numerator: int, denominator: int) -> Surd:
        """Return a fraction; the short way for what a walk does most."""
        if numerator.bit_length() > MAX_BITS or denominator.bit_length() > MAX_BITS:
            raise BudgetExceeded("the number has too many digits")
        divisor = gcd(numerator, denominator)
        if denominator < 0:
            divisor = -divisor
        made = object.__new__(cls)
        made._hash = None
        if numerator:
            made.terms, made.denominator = ((1, numerator // divisor),), denominator // divisor
        else:
            made.terms, made.denominator = (), 1
        return made

    @property
    def _numerator(self) -> int | None:
        """The numerator of a rational number, None of another."""
        terms = self.terms
        if not terms:
            return 0
        return terms[0][1] if len(terms) == 1 and terms[0][0] == 1 else None

    @classmethod
    def of(cls, value: SurdLike) -> Surd:
        """Return an integer, fraction or surd as a surd."""
        if isinstance(value, Surd):
            return value
        return cls._rational(value.numerator, value.denominator)

    @classmethod
    def root_of(cls, value: SurdLike) -> Surd | None:
        """Return the principal square root, or None when it is no surd.

        A root of a sum p + q*sqrt(d) is taken only where it denests to sqrt(x) + sqrt(y).
        """
        number = cls.of(value)
        if number.is_rational:
            return number._root_of_rational()
        parts = denested(number.terms, number.denominator)
        if parts is None:
            return None
        larger, smaller = (cls.of(part)._root_of_rational() for part in parts)
        for candidate in (larger + smaller, larger - smaller):
            if candidate * candidate == number:
                return candidate
        return None

    def _root_of_rational(self) -> Surd:
        if not self:
            return self
        value = self.as_fraction()
        outside, radicand = square_part(value.numerator * value.denominator)
        return Surd(((radicand, outside),), value.denominator)

    @property
    def is_rational(self) -> bool:
        """Whether no radical is left."""
        return not self.terms or (len(self.terms) == 1 and self.terms[0][0] == 1)

    @property
    def is_real(self) -> bool:
        """Whether no radicand is negative."""
        return not self.terms or self.terms[0][0] > 0

    @property
    def is_integer(self) -> bool:
        """Whether the number is a whole number."""
        return self.denominator == 1 and self.is_rational

    def __bool__(self) -> bool:
        return bool(self.terms)

    def as_fraction(self) -> Fraction:
        """Return a rational number as a fraction.

        Raises:
            ValueError: a radical is left.
        """
        if not self.is_rational:
            raise ValueError(f"{self} is not rational")
        return Fraction(self.terms[0][1] if self.terms else 0, self.denominator)

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Surd):
            if not isinstance(other, int | Fraction):
                return NotImplemented
            other = Surd.of(other)
        return self.terms == other.terms and self.denominator == other.denominator

    def __hash__(self) -> int:
        if self._hash is None:
            self._hash = hash((self.terms, self.denominator))
        return self._hash

    def __neg__(self) -> Surd:
        made = object.__new__(Surd)
        made._hash = None
        made.terms = tuple([(d, -n) for d, n in self.terms])
        made.denominator = self.denominator
        return made

    def __add__(self, other: SurdLike) -> Surd:
        right = other if isinstance(other, Surd) else Surd.of(other)
        one, two = self._numerator, right._numerator
        if one is not None and two is not None:
            below = self.denominator
            if below == right.denominator:
                return Surd._rational(one + two, below)
            return Surd._rational(one * right.denominator + two * below, below * right.denominator)
        total: dict[int, int] = {d: n * right.denominator for d, n in self.terms}
        for d, n in right.terms:
            total[d] = total.get(d, 0) + n * self.denominator
        return Surd(total.items(), self.denominator * right.denominator)

    def __sub__(self, other: SurdLike) -> Surd:
        return self + (-Surd.of(other))

    def __mul__(self, other: SurdLike) -> Surd:
        right = other if isinstance(other, Surd) else Surd.of(other)
        one, two = self._numerator, right._numerator
        if one is not None and two is not None:
            return Surd._rational(one * two, self.denominator * right.denominator)
        total: dict[int, int] = {}
        for d, n in self.terms:
            for e, m in right.terms:
                outside, radicand = radical_product(d, e)
                total[radicand] = total.get(radicand, 0) + n * m * outside
        return Surd(total.items(), self.denominator * right.denominator)

    __radd__ = __add__
    __rmul__ = __mul__

    def __rsub__(self, other: SurdLike) -> Surd:
        return Surd.of(other) - self

    def __rtruediv__(self, other: SurdLike) -> Surd:
        return Surd.of(other) / self

    def __truediv__(self, other: SurdLike) -> Surd:
        right = other if isinstance(other, Surd) else Surd.of(other)
        scale, whole = right._numerator, right.denominator
        if scale == 0:
            raise ZeroDivisionError("division by zero")
        if scale is not None:
            top = self._numerator
            if top is not None:
                return Surd._rational(top * whole, self.denominator * scale)
            return Surd([(d, n * whole) for d, n in self.terms], self.denominator * scale)
        conjugate = right._conjugate()
        return (self * conjugate) / (right * conjugate)

    def __pow__(self, exponent: int) -> Surd:
        if exponent < 0:
            return Surd.of(1) / self ** (-exponent)
        return by_squaring(self, exponent, Surd.of(1))

    def _conjugate(self) -> Surd:
        return Surd(conjugate_terms(self.terms), self.denominator)

    def real_sign(self) -> int:
        """Return -1, 0 or 1 for a real number; ValueError when it is not real."""
        if not self.is_real:
            raise ValueError(f"{self} is not real")
        return sign_of_terms(self.terms)

    def __lt__(self, other: SurdLike) -> bool:
        return (self - Surd.of(other)).real_sign() < 0

    def approximate(self) -> complex:
        """Return the nearest machine number, for sorting and for a first look only."""
        return approximate_terms(self.terms, self.denominator)

    def __repr__(self) -> str:
        return f"Surd({self.terms}, {self.denominator})"


SurdLike: TypeAlias = Surd | int | Fraction
