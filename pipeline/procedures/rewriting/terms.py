"""How an expression is taken apart and put together, and its simplest form by exact algebra.

Square roots of letters are taken for letters that are not negative, as school algebra takes them.
With s in the place of the root of x, an expression in x and its root is a polynomial, or a
fraction of polynomials, in s; worked out and translated back it is in simplest form.
"""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache
from typing import NamedTuple

from pipeline.errors import CannotBeWorked
from pipeline.exact.evaluate import surd_of, tree_of_surd
from pipeline.exact.numbers import Surd, SurdLike
from pipeline.exact.polynomials import Monomial as Powers
from pipeline.exact.polynomials import Polynomial, fraction_of, polynomial_of, tree_of_polynomial
from pipeline.exact.trees import (
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
    children,
    with_children,
)

ZERO = Numeral(Fraction(0))
ONE = Numeral(Fraction(1))
IMAGINARY = Constant("i")


class Monomial(NamedTuple):
    """A product of a number and powers; a base may stand several times, as written."""

    coefficient: Surd
    powers: tuple[tuple[Node, Fraction], ...]

    def tree(self) -> Node:
        """Return the product as a tree."""
        raised = [power(base, exponent) for base, exponent in self.powers]
        return product_of(number(self.coefficient), *raised)


@lru_cache(maxsize=4096)
def number(value: SurdLike) -> Node:
    """Return a number as a tree."""
    return tree_of_surd(Surd.of(value))


def negative(node: Node) -> Node:
    """Put a minus before a tree, or take one away."""
    return node.argument if isinstance(node, Negation) else Negation(node)


def signed(term: Node) -> tuple[int, Node]:
    """Return the sign before a term, 1 or -1, and the term without it."""
    sign = 1
    while isinstance(term, Negation):
        sign, term = -sign, term.argument
    return sign, term


@lru_cache(maxsize=8192)
def terms_of(node: Node) -> tuple[Node, ...]:
    """Return the terms of a sum, inner sums opened; anything else is one term."""
    if not isinstance(node, Sum):
        return (node,)
    return tuple(inner for term in node.terms for inner in terms_of(term))


@lru_cache(maxsize=8192)
def factors_of(node: Node) -> tuple[Node, ...]:
    """Return the factors of a product, inner products opened; anything else is one factor."""
    if not isinstance(node, Product):
        return (node,)
    return tuple(inner for factor in node.factors for inner in factors_of(factor))


def sum_of(*terms: Node) -> Node:
    """Return a sum of any number of terms."""
    kept = tuple(inner for term in terms for inner in terms_of(term))
    if not kept:
        return ZERO
    return kept[0] if len(kept) == 1 else Sum(kept)


def difference(first: Node, second: Node) -> Node:
    """Return first - second."""
    return Sum((first, negative(second)))


def product_of(*factors: Node) -> Node:
    """Return a product of any number of factors, without ones, one sign before it."""
    sign, kept = 1, []
    for factor in factors:
        for inner in factors_of(factor):
            flipped, body = signed(inner)
            sign *= flipped
            if body != ONE:
                kept.append(body)
    whole_product = kept[0] if len(kept) == 1 else Product(tuple(kept)) if kept else ONE
    return whole_product if sign == 1 else Negation(whole_product)


def power(base: Node, exponent: Fraction | int) -> Node:
    """Return a power; an exponent of 1 is not written."""
    return base if exponent == 1 else Power(base, number(exponent))


def over(numerator: Node, denominator: Node) -> Node:
    """Return a fraction; a denominator of 1 is not written."""
    return numerator if denominator == ONE else Quotient(numerator, denominator)


@lru_cache(maxsize=8192)
def value_of(node: Node) -> Surd | None:
    """Return the exact value of a tree without letters, None where there is none."""
    try:
        return surd_of(node)
    except (ZeroDivisionError, CannotBeWorked):
        return None


@lru_cache(maxsize=8192)
def rational(node: Node) -> Fraction | None:
    """Return the value of a tree that stands for a rational number, else None."""
    found = value_of(node)
    return found.as_fraction() if found is not None and found.is_rational else None


def whole(node: Node) -> int | None:
    """Return the value of a tree that stands for a whole number, else None."""
    found = rational(node)
    return int(found) if found is not None and found.denominator == 1 else None


def magnitude(node: Node) -> int | None:
    """Return a whole number as typed, without a sign; None for anything else."""
    if isinstance(node, Numeral) and node.value.denominator == 1:
        return int(node.value)
    return None


@lru_cache(maxsize=8192)
def fraction_parts(node: Node) -> tuple[Node, Node] | None:
    """Return numerator and denominator of a fraction; a sign before it goes to the numerator."""
    sign, body = signed(node)
    if not isinstance(body, Quotient):
        return None
    return (body.numerator if sign == 1 else negative(body.numerator)), body.denominator


def as_fraction(node: Node) -> tuple[Node, Node]:
    """Return numerator and denominator; what is no fraction stands over 1."""
    return fraction_parts(node) or (node, ONE)


@lru_cache(maxsize=8192)
def monomial(node: Node) -> Monomial | None:
    """Return a tree as a number times powers, or None when it is none.

    Powers of numbers such as 2^3 count as powers; their exponents must be rational numbers.
    """
    coefficient = Surd.of(1)
    powers: list[tuple[Node, Fraction]] = []
    for factor in factors_of(node):
        sign, body = signed(factor)
        if sign < 0:
            coefficient = -coefficient
        base, exponent = (body.base, body.exponent) if isinstance(body, Power) else (body, ONE)
        if isinstance(body, Product):
            inner = monomial(body)
            if inner is None:
                return None
            coefficient = coefficient * inner.coefficient
            powers.extend(inner.powers)
            continue
        raised = rational(exponent)
        if raised is None:
            return None
        plain = value_of(body) if not isinstance(body, Power | Constant) else None
        if plain is not None:
            coefficient = coefficient * plain
        elif isinstance(base, Letter | Numeral | Constant):
            powers.append((base, raised))
        else:
            return None
    return Monomial(coefficient, tuple(powers))


@lru_cache(maxsize=8192)
def split_coefficient(node: Node) -> tuple[Node, Node] | None:
    """Return a term as its number and the rest, such as 3 and x; None without a number."""
    factors = factors_of(node)
    numbers = [factor for factor in factors if value_of(factor) is not None]
    others = [factor for factor in factors if value_of(factor) is None]
    if not numbers or not others:
        return None
    return product_of(*numbers), product_of(*others)


_MARK = "√"


def holds_letter_root(node: Node) -> bool:
    """Whether a square root of letters, or an exponent of a half on them, occurs."""
    if isinstance(node, Root):
        return value_of(node) is None
    if isinstance(node, Power) and value_of(node) is None:
        exponent = rational(node.exponent)
        if exponent is not None and exponent.denominator == 2:
            return True
    return any(map(holds_letter_root, children(node)))


def _simplest_roots(node: Node) -> Node | None:
    """Return an expression with its roots simplified and joined; None where that fails.

    Raises:
        ZeroDivisionError: something is divided by zero.
    """
    try:
        replaced = _in_roots(node)
        ratio = None if replaced is None else fraction_of(replaced)
    except CannotBeWorked:
        return None
    if ratio is None:
        return None
    return over(_tree(ratio[0]), _tree(ratio[1]))


def _in_roots(node: Node) -> Node | None:
    if isinstance(node, Letter):
        return Power(Letter(_MARK + node.name), number(2))
    if value_of(node) is not None:
        return node
    if isinstance(node, Root):
        return _root(node)
    exponent = rational(node.exponent) if isinstance(node, Power) else None
    if isinstance(node, Power) and exponent is not None and exponent.denominator == 2:
        inside = _root(Root(node.base))
        return None if inside is None else Power(inside, number(exponent * 2))
    parts = [_in_roots(part) for part in children(node)]
    found = [part for part in parts if part is not None]
    return with_children(node, found) if len(found) == len(parts) else None


def _root(node: Root) -> Node | None:
    inside = monomial(node.radicand)
    if inside is None or whole(node.index) != 2:
        return None
    if any(
        exponent.denominator != 1 or not isinstance(base, Letter)
        for base, exponent in inside.powers
    ):
        return None
    outside = Surd.root_of(inside.coefficient)
    if outside is None:
        return None
    marked = [
        (Letter(_MARK + base.name), exponent)
        for base, exponent in inside.powers
        if isinstance(base, Letter)
    ]
    return Monomial(outside, tuple(marked)).tree()


def _tree(value: Polynomial) -> Node:
    terms = [_term(powers, one) for powers, one in value.ordered()]
    return sum_of(*terms)


def _term(powers: Powers, coefficient: Surd) -> Node:
    letters: list[Node] = []
    under: list[Node] = []
    for name, exponent in powers:
        letter = Letter(name.removeprefix(_MARK))
        if exponent // 2:
            letters.append(power(letter, exponent // 2))
        if exponent % 2:
            under.append(letter)
    if not under:
        return product_of(tree_of_surd(coefficient), *letters)
    if len(coefficient.terms) != 1:
        return product_of(tree_of_surd(coefficient), *letters, Root(product_of(*under)))
    ((radicand, size),) = coefficient.terms
    inside = product_of(number(abs(radicand)), *under)
    plain = number(Fraction(abs(size), coefficient.denominator))
    unit = [tree_of_surd(Surd(((-1, 1),)))] if radicand < 0 else []
    term = product_of(plain, *letters, *unit, Root(inside))
    return negative(term) if size < 0 else term


@lru_cache(maxsize=8192)
def canonical(node: Node) -> Node:
    """Return a number, polynomial or reduced fraction of polynomials as a tree.

    Square roots of letters are simplified for letters that are not negative. Anything else, such
    as a root of a sum with letters, stays as it is.

    Raises:
        ZeroDivisionError: something is divided by zero.
    """
    if isinstance(node, Numeral | Letter | Constant):
        return node
    plain = value_of(node)
    if plain is not None:
        return tree_of_surd(plain)
    polynomial = polynomial_of(node)
    if polynomial is not None:
        return tree_of_polynomial(polynomial)
    ratio = fraction_of(node)
    if ratio is not None:
        return over(tree_of_polynomial(ratio[0]), tree_of_polynomial(ratio[1]))
    simplest = _simplest_roots(node) if holds_letter_root(node) else None
    return node if simplest is None else simplest


def as_one_fraction(node: Node, reduced: Node) -> Node:
    """Return a quotient of fractions or of products as one fraction, not reduced.

    Args:
        node: the quotient.
        reduced: what to return where it is none, or its parts are no whole numbers.
    """
    if not isinstance(node, Quotient):
        return reduced
    above, below = rational(node.numerator), rational(node.denominator)
    if above is None or below is None:
        return reduced
    top, bottom = above.numerator * below.denominator, above.denominator * below.numerator
    if bottom <= 1 or top <= 0:
        return reduced
    return Quotient(number(top), number(bottom))
