"""Polynomials as sums of monomials in several letters, with exact coefficients."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TypeAlias

from pipeline.errors import BudgetExceeded
from pipeline.exact.numbers import Surd, SurdLike

Monomial: TypeAlias = tuple[tuple[str, int], ...]
"""Letters with positive exponents, sorted by letter; the empty tuple is 1."""

MAX_DEGREE = 100
"""Largest exponent on an expression."""
MAX_TERMS = 400
"""Most terms of a polynomial; beyond it equality is decided by numbers."""
MAX_PRODUCTS = 6000
"""Most products of terms in one multiplication."""

_ONE: Monomial = ()


class Polynomial:
    """An immutable, hashable polynomial; equal polynomials have equal terms.

    Args:
        terms: coefficient of each monomial; zero coefficients are dropped.
    """

    __slots__ = ("_hash", "terms")
    terms: Mapping[Monomial, Surd]

    def __init__(self, terms: Mapping[Monomial, Surd]) -> None:
        self.terms = {monomial: value for monomial, value in terms.items() if value}
        self._hash: int | None = None
        if len(self.terms) > MAX_TERMS:
            raise BudgetExceeded("the expression has too many terms")

    @classmethod
    def constant(cls, value: SurdLike) -> Polynomial:
        """Return a polynomial without letters."""
        return cls({_ONE: Surd.of(value)})

    @classmethod
    def letter(cls, name: str) -> Polynomial:
        """Return a single letter."""
        return cls({((name, 1),): Surd.of(1)})

    @classmethod
    def univariate(cls, name: str, coefficients: Iterable[SurdLike]) -> Polynomial:
        """Return the polynomial with these coefficients, constant term first."""
        return cls(
            {
                (((name, power),) if power else _ONE): Surd.of(value)
                for power, value in enumerate(coefficients)
            }
        )

    @property
    def letters(self) -> frozenset[str]:
        """Names of the letters that occur."""
        return frozenset(name for monomial in self.terms for name, _ in monomial)

    @property
    def is_constant(self) -> bool:
        """Whether no letter occurs."""
        return not self.terms or (len(self.terms) == 1 and _ONE in self.terms)

    @property
    def constant_term(self) -> Surd:
        """The coefficient of 1."""
        return self.terms.get(_ONE, Surd.of(0))

    def __bool__(self) -> bool:
        return bool(self.terms)

    def degree(self, name: str | None = None) -> int:
        """Return the total degree, or the degree in one letter; 0 for the zero polynomial."""
        return max(
            (
                sum(power for letter, power in monomial if name is None or letter == name)
                for monomial in self.terms
            ),
            default=0,
        )

    def coefficients(self, name: str) -> list[Surd]:
        """Return the coefficients in one letter, constant term first, no leading zero.

        Raises:
            ValueError: another letter occurs.
        """
        if self.letters - {name}:
            raise ValueError(f"{self} has more letters than {name}")
        found = [Surd.of(0)] * (self.degree() + 1)
        for monomial, value in self.terms.items():
            found[monomial[0][1] if monomial else 0] = value
        return found

    def collected(self, name: str) -> list[Polynomial]:
        """Return the coefficients in one letter as polynomials in the others, constant first."""
        found: list[dict[Monomial, Surd]] = [{} for _ in range(self.degree(name) + 1)]
        for monomial, value in self.terms.items():
            power = dict(monomial).get(name, 0)
            found[power][tuple(pair for pair in monomial if pair[0] != name)] = value
        return [Polynomial(part) for part in found]

    def substitute(self, name: str, value: SurdLike) -> Polynomial:
        """Put a number in place of a letter."""
        number, total = Surd.of(value), Polynomial({})
        for part in reversed(self.collected(name)):
            total = total * number + part
        return total

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Polynomial) and self.terms == other.terms

    def __hash__(self) -> int:
        if self._hash is None:
            self._hash = hash(frozenset(self.terms.items()))
        return self._hash

    def __neg__(self) -> Polynomial:
        return Polynomial({monomial: -value for monomial, value in self.terms.items()})

    def __add__(self, other: Polynomial) -> Polynomial:
        total = dict(self.terms)
        for monomial, value in other.terms.items():
            total[monomial] = total[monomial] + value if monomial in total else value
        return Polynomial(total)

    def __sub__(self, other: Polynomial) -> Polynomial:
        return self + (-other)

    def __mul__(self, other: Polynomial | SurdLike) -> Polynomial:
        if not isinstance(other, Polynomial):
            factor = Surd.of(other)
            return Polynomial({monomial: value * factor for monomial, value in self.terms.items()})
        if len(self.terms) * len(other.terms) > MAX_PRODUCTS:
            raise BudgetExceeded("the product has too many terms")
        total: dict[Monomial, Surd] = {}
        for first, left in self.terms.items():
            for second, right in other.terms.items():
                monomial = _product(first, second)
                value = left * right
                total[monomial] = total[monomial] + value if monomial in total else value
        return Polynomial(total)

    def __pow__(self, exponent: int) -> Polynomial:
        if exponent < 0 or exponent > MAX_DEGREE:
            raise BudgetExceeded("the exponent is too large")
        result, base = Polynomial.constant(1), self
        while exponent:
            if exponent & 1:
                result = result * base
            exponent >>= 1
            if exponent:
                base = base * base
        return result

    def ordered(self) -> list[tuple[Monomial, Surd]]:
        """Return the terms as printed: high total degree first, then by letter."""
        return sorted(
            self.terms.items(),
            key=lambda term: (-sum(p for _, p in term[0]), [(n, -p) for n, p in term[0]]),
        )

    def monic(self) -> Polynomial:
        """Divide by the first printed coefficient; the zero polynomial stays."""
        if not self.terms:
            return self
        leading = self.ordered()[0][1]
        return self if leading == 1 else self * (Surd.of(1) / leading)

    def source(self) -> str:
        """Return canonical text: `2*x**2 - 3*x*y + 1`."""
        if not self.terms:
            return "0"
        pieces = [_term_source(monomial, value) for monomial, value in self.ordered()]
        text = pieces[0]
        for piece in pieces[1:]:
            text += f" - {piece[1:]}" if piece.startswith("-") else f" + {piece}"
        return text

    __str__ = source

    def __repr__(self) -> str:
        return f"Polynomial({self.source()})"


def _product(first: Monomial, second: Monomial) -> Monomial:
    if not first:
        return second
    if not second:
        return first
    if len(first) == 1 == len(second) and first[0][0] == second[0][0]:
        return ((first[0][0], first[0][1] + second[0][1]),)
    powers = dict(first)
    for name, power in second:
        powers[name] = powers.get(name, 0) + power
    return tuple(sorted(powers.items()))


def _term_source(monomial: Monomial, value: Surd) -> str:
    symbols = "*".join(name if power == 1 else f"{name}**{power}" for name, power in monomial)
    if not symbols:
        return value.source() if len(value.terms) < 2 else f"({value.source()})"
    if value == 1:
        return symbols
    if value == -1:
        return f"-{symbols}"
    number = value.source()
    return f"({number})*{symbols}" if len(value.terms) > 1 else f"{number}*{symbols}"
