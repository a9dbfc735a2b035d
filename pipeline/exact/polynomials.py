"""Syntax trees as polynomials and as fractions of polynomials, divided in any letters."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from functools import lru_cache
from operator import add, mul
from typing import TypeAlias

from pipeline.errors import BudgetExceeded
from pipeline.exact.coefficients import common_divisor
from pipeline.exact.evaluate import power_of, sum_of, surd_of, tree_of_surd
from pipeline.exact.numbers import Surd, SurdLike, by_squaring
from pipeline.exact.printing import surd_source
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
    folded,
)

Monomial: TypeAlias = tuple[tuple[str, int], ...]
"""Letters with positive exponents, sorted by letter; the empty tuple is 1."""

MAX_DEGREE = 100
"""Largest exponent on an expression."""
MAX_TERMS = 400
"""Most terms of a polynomial; beyond it equality is decided by numbers."""
MAX_PRODUCTS = 6000
"""Most products of terms in one multiplication."""

_UNIT: Monomial = ()


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
        return cls({_UNIT: Surd.of(value)})

    @classmethod
    def letter(cls, name: str) -> Polynomial:
        """Return a single letter."""
        return cls({((name, 1),): Surd.of(1)})

    @classmethod
    def univariate(cls, name: str, coefficients: Iterable[SurdLike]) -> Polynomial:
        """Return the polynomial with these coefficients, constant term first."""
        return cls(
            {
                (((name, power),) if power else _UNIT): Surd.of(value)
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
        return not self.terms or (len(self.terms) == 1 and _UNIT in self.terms)

    @property
    def constant_term(self) -> Surd:
        """The coefficient of 1."""
        return self.terms.get(_UNIT, Surd.of(0))

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
        return by_squaring(self, exponent, Polynomial.constant(1))

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
        return surd_source(value) if len(value.terms) < 2 else f"({surd_source(value)})"
    if value == 1:
        return symbols
    if value == -1:
        return f"-{symbols}"
    number = surd_source(value)
    return f"({number})*{symbols}" if len(value.terms) > 1 else f"{number}*{symbols}"


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
            return folded(parts, _polynomial, add if isinstance(node, Sum) else mul)
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
            return folded(parts, _fraction, _add)
        case Product(parts):
            return folded(parts, _fraction, lambda a, b: (a[0] * b[0], a[1] * b[1]))
        case Quotient(upper, lower):
            return _over(_fraction(upper), _fraction(lower))
        case Power(base, exponent):
            return _ratio_power(base, exponent)
    value = _polynomial(node)
    return None if value is None else (value, _ONE)


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


def tree_of_polynomial(value: Polynomial) -> Node:
    """Return a polynomial as a tree, in the order of `Polynomial.ordered`."""
    terms = [_monomial(monomial, factor) for monomial, factor in value.ordered()]
    return sum_of(terms) if terms else Numeral(Fraction(0))


def _monomial(monomial: Monomial, coefficient: Surd) -> Node:
    factors: list[Node] = [
        Letter(name) if power == 1 else Power(Letter(name), Numeral(Fraction(power)))
        for name, power in monomial
    ]
    number = tree_of_surd(coefficient)
    negative = isinstance(number, Negation)
    if isinstance(number, Negation):
        number = number.argument
    if not factors or number != Numeral(Fraction(1)):
        factors.insert(0, number)
    node = factors[0] if len(factors) == 1 else Product(tuple(factors))
    return Negation(node) if negative else node
