"""What an answer of this course can be, before it is typed."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from synthetic_data.surds import Rational, Surd, number


@dataclass(frozen=True, slots=True)
class Roots:
    """The solutions of an equation, none twice, in the order in which they were found."""

    members: tuple[Surd, ...]


@dataclass(frozen=True, slots=True)
class Number:
    """One number, not the solution of an equation."""

    value: Surd


@dataclass(frozen=True, slots=True)
class Polynomial:
    """A polynomial in one letter.

    Args:
        terms: pairs (exponent, coefficient), highest exponent first, no coefficient 0.
    """

    terms: tuple[tuple[int, Fraction], ...]


@dataclass(frozen=True, slots=True)
class Factors:
    """A product `constant * (px + q)(rx + s)...`; a factor is the pair (p, q)."""

    constant: int
    members: tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class Power:
    """One term `coefficient * letter^exponent`."""

    coefficient: Fraction
    exponent: Fraction


@dataclass(frozen=True, slots=True)
class Point:
    """A point of the plane."""

    x: Fraction
    y: Fraction


@dataclass(frozen=True, slots=True)
class Typed:
    """An answer in words, or one that has only the spellings given."""

    spellings: tuple[str, ...]


Value = Roots | Number | Polynomial | Factors | Power | Point | Typed

NO_REAL = Typed(("no real solution", "no real solutions", "No real solution", "no real roots"))
PRIME = Typed(("prime", "Prime", "cannot be factored"))


def roots(*members: Surd | Rational) -> Roots:
    """The solutions given, repeats left out."""
    numbers = (item if isinstance(item, Surd) else number(item) for item in members)
    return Roots(tuple(dict.fromkeys(numbers)))


def single(value: Surd | Rational) -> Number:
    """One number."""
    return Number(value if isinstance(value, Surd) else number(value))


def polynomial(coefficients: dict[int, Rational]) -> Polynomial:
    """A polynomial from {exponent: coefficient}."""
    kept = ((power, Fraction(factor)) for power, factor in coefficients.items() if factor)
    return Polynomial(tuple(sorted(kept, reverse=True)))


def same(one: Value, other: Value) -> bool:
    """Whether two values are equal, solutions as sets and products in any order."""
    if isinstance(one, Roots) and isinstance(other, Roots):
        return set(one.members) == set(other.members)
    if isinstance(one, Typed) and isinstance(other, Typed):
        return not {*one.spellings}.isdisjoint(other.spellings)
    if isinstance(one, Factors) and isinstance(other, Factors):
        return expanded(one) == expanded(other)
    return one == other


def expanded(product: Factors) -> Polynomial:
    """A product multiplied out."""
    coefficients = {0: product.constant}
    for slope, constant in product.members:
        grown: dict[int, int] = {}
        for power, factor in coefficients.items():
            grown[power + 1] = grown.get(power + 1, 0) + factor * slope
            grown[power] = grown.get(power, 0) + factor * constant
        coefficients = grown
    return polynomial({power: Fraction(factor) for power, factor in coefficients.items()})
