"""How an expression is taken apart and put together: terms, signs, factors, powers."""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache
from typing import NamedTuple

from pipeline.errors import CannotBeWorked
from pipeline.exact.evaluate import surd_of, tree_of_surd
from pipeline.exact.numbers import Surd, SurdLike
from pipeline.exact.trees import (
    Constant,
    Letter,
    Negation,
    Node,
    Numeral,
    Power,
    Product,
    Quotient,
    Sum,
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
