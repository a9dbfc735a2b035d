"""Trees of exact values, in the form in which textbooks print them."""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache

from pipeline.exact.monomials import Monomial, Polynomial
from pipeline.exact.numbers import Surd
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
)


@lru_cache(maxsize=65536)
def tree_of_surd(value: Surd) -> Node:
    """Return the canonical form as a tree: rational part first, one fraction a term."""
    ordered = sorted(value.terms, key=lambda term: (term[0] != 1, term[0] < 0, abs(term[0])))
    if not ordered:
        return Numeral(Fraction(0))
    return _sum([_surd_term(d, Fraction(n, value.denominator)) for d, n in ordered])


def _sum(terms: list[Node]) -> Node:
    return terms[0] if len(terms) == 1 else Sum(tuple(terms))


def _surd_term(radicand: int, coefficient: Fraction) -> Node:
    factors: list[Node] = []
    if abs(radicand) != 1:
        factors.append(Root(Numeral(Fraction(abs(radicand)))))
    if radicand < 0:
        factors.append(Constant("i"))
    size = abs(coefficient)
    if size.numerator != 1 or not factors:
        factors.insert(0, Numeral(Fraction(size.numerator)))
    node = factors[0] if len(factors) == 1 else Product(tuple(factors))
    if size.denominator != 1:
        node = Quotient(node, Numeral(Fraction(size.denominator)))
    return Negation(node) if coefficient < 0 else node


def tree_of_polynomial(value: Polynomial) -> Node:
    """Return a polynomial as a tree, in the order of `Polynomial.ordered`."""
    terms = [_monomial(monomial, factor) for monomial, factor in value.ordered()]
    return _sum(terms) if terms else Numeral(Fraction(0))


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
