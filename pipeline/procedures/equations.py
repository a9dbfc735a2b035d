"""What an equation looks like: coefficients, and factors, squares and brackets as written."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from typing import NamedTuple, TypeGuard, TypeVar

from pipeline.errors import CannotBeWorked
from pipeline.exact.coefficients import Coefficients, added, scaled, trimmed
from pipeline.exact.evaluate import surd_of
from pipeline.exact.numbers import Surd
from pipeline.exact.polynomials import polynomial_of
from pipeline.exact.trees import (
    Negation,
    Node,
    Numeral,
    Power,
    Product,
    Quotient,
    Relation,
    Sum,
    letters,
    nodes,
)

ZERO = Surd.of(0)
ONE = Surd.of(1)
UNKNOWN = "x"
"""The letter of the unknown in an ending that is an expression, whatever the problem calls it."""
MAX_DEGREE = 12
"""Highest power that is multiplied out; school equations stay far below."""


class Linear(NamedTuple):
    """The linear form p*x + q."""

    p: Surd
    q: Surd


class Bracket(NamedTuple):
    """A term k*(p*x + q) of a linear equation; `written` tells whether there is a bracket."""

    k: Surd
    p: Surd
    q: Surd
    written: bool


class Square(NamedTuple):
    """A side of the form scale*(p*x + q)^2 + rest."""

    scale: Surd
    p: Surd
    q: Surd
    rest: Surd


@dataclass(frozen=True, slots=True)
class Equation:
    """An equation of degree 1 or 2 in one unknown.

    Args:
        left, right: coefficients (a, b, c) of each side; a side without the unknown stands right.
        scale, factors: the left side where it is written as a product, the right a constant.
        square: the left side where it is written around one square, the right a constant.
        brackets: for a linear equation the terms of both sides, as written.
        decimals: whether a number of it is typed with a decimal point.
        order: the powers of the left side's terms in the order they stand in.
    """

    left: tuple[Surd, Surd, Surd]
    right: tuple[Surd, Surd, Surd]
    scale: Surd = ONE
    factors: tuple[Linear, ...] = ()
    square: Square | None = None
    brackets: tuple[tuple[Bracket, ...], tuple[Bracket, ...]] = ((), ())
    decimals: bool = False
    order: tuple[int, ...] = ()

    @property
    def zero_form(self) -> tuple[Surd, Surd, Surd]:
        """The coefficients (a, b, c) when all is on the left side."""
        (a, b, c), (a2, b2, c2) = self.left, self.right
        return a - a2, b - b2, c - c2

    @property
    def degree(self) -> int:
        """The highest power left when all is on one side; 0 for identity or contradiction."""
        a, b, _ = self.zero_form
        return 2 if a else 1 if b else 0


class Branches(NamedTuple):
    """The line p*x + q = s, for each number s of `signed`."""

    p: Surd
    q: Surd
    signed: tuple[Surd, ...]


class Named(NamedTuple):
    """The line that gives a letter a number, such as the slope m on the way to a line."""

    letter: str
    value: Surd


class Difference(NamedTuple):
    """The line squared - product = value, or squared + product where that is the value."""

    squared: Surd
    product: Surd
    value: Surd

    @property
    def is_added(self) -> bool:
        """Whether the two numbers were added."""
        return bool(self.product) and self.value == self.squared + self.product


class Formula(NamedTuple):
    """The line x = (minus_b ± the root of the radicand)/below."""

    minus_b: Surd
    radicand: Surd
    signed: tuple[Surd, ...]
    below: Surd


def squared(scale: Surd, p: Surd, q: Surd, right: Surd) -> Equation:
    """Return scale*(p*x + q)^2 = right."""
    left = (scale * p * p, 2 * scale * p * q, scale * q * q)
    return Equation(left, (ZERO, ZERO, right), square=Square(scale, p, q, ZERO))


def product_of(factors: tuple[Linear, ...], right: Surd) -> Equation:
    """Return the equation of one or two linear factors and a right side."""
    first, second = (*factors, Linear(ZERO, ONE))[:2]
    left = (first.p * second.p, first.p * second.q + first.q * second.p, first.q * second.q)
    return Equation(left, (ZERO, ZERO, right), factors=factors)


def coefficients(node: Node, letter: str) -> Coefficients | None:
    """Return a side as a polynomial in one letter, or None when it is none."""
    try:
        polynomial = polynomial_of(node)
        if polynomial is None or not polynomial.letters <= {letter}:
            return None
        if polynomial.degree() > MAX_DEGREE:
            return None
        return trimmed(tuple(polynomial.coefficients(letter)))
    except (CannotBeWorked, ZeroDivisionError):
        return None


def equation_of(relation: Relation, letter: str) -> Equation | None:
    """Return an equation of degree at most 2 with its shape, or None when it is none."""
    if len(relation.sides) != 2 or relation.signs != ("=",):
        return None
    first, second = relation.sides
    if letter not in letters(first):
        first, second = second, first
    left, right = coefficients(first, letter), coefficients(second, letter)
    if left is None or right is None or max(len(left), len(right)) > 3:
        return None
    constant = len(right) <= 1
    scale, factors = _factors(first, letter) if constant else (ONE, ())
    quadratic = len(left) == 3 or len(right) == 3
    return Equation(
        left=_three(left),
        right=_three(right),
        scale=scale,
        factors=factors,
        square=square_of(first, letter) if constant else None,
        brackets=((), ()) if quadratic else (_brackets(first, letter), _brackets(second, letter)),
        decimals=any(isinstance(one, Numeral) and one.places for one in nodes(relation)),
        order=_order(first, letter) if quadratic else (),
    )


def _order(side: Node, letter: str) -> tuple[int, ...]:
    """The powers of the terms of a sum as they stand; none where terms are no powers."""
    terms = side.terms if isinstance(side, Sum) else ()
    found = [coefficients(term, letter) or () for term in terms]
    return () if any(any(one[:-1]) for one in found) else tuple(len(one) - 1 for one in found)


def _three(numbers: Coefficients) -> tuple[Surd, Surd, Surd]:
    c, b, a = (*numbers, ZERO, ZERO, ZERO)[:3]
    return a, b, c


def _linear_factors(node: Node, letter: str) -> tuple[Surd, tuple[Linear, ...]]:
    """Return the constant and the linear factors of a written product; none where others are."""
    scale, found = ONE, []
    for part in flat_factors(node, squares=True):
        inner = coefficients(part, letter)
        if inner is None or not 1 <= len(inner) <= 2:
            return ONE, ()
        if len(inner) == 1:
            scale = scale * inner[0]
        else:
            found.append(Linear(inner[1], inner[0]))
    return scale, tuple(found)


def _factors(side: Node, letter: str) -> tuple[Surd, tuple[Linear, ...]]:
    """Return the constant and the two linear factors of a written product, else no factors."""
    scale, found = _linear_factors(side, letter)
    sums = any(factor.q for factor in found)
    return (scale, found) if len(found) == 2 and sums else (ONE, ())


def square_of(side: Node, letter: str) -> Square | None:
    """Return the one square with the unknown that a side is built around, if there is one."""
    rest, square = ZERO, None
    for term in side.terms if isinstance(side, Sum) else (side,):
        value = coefficients(term, letter)
        if value is not None and len(value) <= 1:
            rest = rest + (value[0] if value else ZERO)
            continue
        scale, linear = _linear_factors(term, letter)
        if square is not None or len(linear) != 2 or linear[0] != linear[1]:
            return None
        square = Square(scale, linear[0].p, linear[0].q, ZERO)
    return None if square is None else square._replace(rest=rest)


def _brackets(side: Node, letter: str) -> tuple[Bracket, ...]:
    found = []
    for term in side.terms if isinstance(side, Sum) else (side,):
        factors = flat_factors(term, squares=True)
        inside = [part for part in factors if isinstance(part, Sum) and letter in letters(part)]
        whole = _three(coefficients(term, letter) or ())
        inner = _three(coefficients(inside[0], letter) or ()) if len(inside) == 1 else whole
        if len(inside) == 1 and inner[1] and inner[2] and not isinstance(term, Quotient):
            found.append(Bracket(whole[1] / inner[1], inner[1], inner[2], True))
        else:
            found.append(Bracket(ONE, whole[1], whole[2], False))
    return tuple(found)


_Held = TypeVar("_Held", bound=Node)


class Part(NamedTuple):
    """A multiple of bars or of a radical: factor * (node)."""

    factor: Surd
    node: Node


class Side(NamedTuple):
    """Parts, and the polynomial of all other terms by degree."""

    parts: tuple[Part, ...]
    rest: Coefficients


def terms_of(node: Node, sign: Surd = ONE) -> list[tuple[Surd, Node]]:
    """Return the terms of a sum with their signs, sums inside sums and minus signs resolved."""
    match node:
        case Sum(terms):
            return [one for term in terms for one in terms_of(term, sign)]
        case Negation(inner):
            return terms_of(inner, -sign)
        case _:
            return [(sign, node)]


def flat_factors(node: Node, squares: bool = False) -> list[Node]:
    """Return the factors of a term; division by a number is one, a square is two if so asked."""
    match node:
        case Product(factors):
            return [one for factor in factors for one in flat_factors(factor, squares)]
        case Negation(inner):
            return [Negation(Numeral(Fraction(1))), *flat_factors(inner, squares)]
        case Quotient(above, below) if not letters(below):
            return [*flat_factors(above, squares), Quotient(Numeral(Fraction(1)), below)]
        case Power(base, Numeral(exponent)) if squares and exponent == 2:
            return [base, base]
        case _:
            return [node]


def multiples_of(
    node: Node, is_held: Callable[[Node], TypeGuard[_Held]]
) -> list[tuple[Surd, _Held | None]] | None:
    """See a sum as multiples of nodes of one kind, at most one in each of its terms.

    Returns:
        Factor and node of each term, no node for a number; None where a term is something else.
    """
    found: list[tuple[Surd, _Held | None]] = []
    for sign, term in terms_of(node):
        factor, held = sign, None
        for one in flat_factors(term):
            value = None if letters(one) else surd_of(one)
            if value is not None:
                factor = factor * value
            elif held is None and is_held(one):
                held = one
            else:
                return None
        found.append((factor, held))
    return found


def side_of(node: Node, letter: str, kind: type) -> Side | None:
    """See a side as multiples of nodes of one kind and a polynomial; None when it is not."""
    parts: list[Part] = []
    rest: Coefficients = ()

    def is_part(one: Node) -> TypeGuard[Node]:
        return isinstance(one, kind)

    for sign, term in terms_of(node):
        whole = coefficients(term, letter)
        if whole is not None:
            rest = added(rest, scaled(whole, sign))
            continue
        for factor, held in multiples_of(term, is_part) or [(sign, None)]:
            if held is None:
                return None
            parts.append(Part(factor * sign, held))
    return Side(tuple(parts), rest)


def linear_of(node: Node, letter: str) -> Linear | None:
    """Return an expression as a linear form, or None when it is none."""
    found = coefficients(node, letter)
    return None if found is None else as_linear(found)


def as_linear(numbers: Coefficients) -> Linear | None:
    """Return a polynomial as a linear form, or None when it is none."""
    if len(numbers) > 2:
        return None
    q, p = (*numbers, ZERO, ZERO)[:2]
    return Linear(p, q)
