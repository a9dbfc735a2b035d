"""A side of an equation seen as multiples of bars or radicals, with a polynomial beside them."""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple

from pipeline.exact.coefficients import Coefficients, added, scaled
from pipeline.exact.numbers import Surd
from pipeline.exact.trees import Negation, Node, Numeral, Product, Quotient, Sum, letters
from pipeline.procedures.equations import ONE, ZERO, Linear, coefficients

__all__ = ["Part", "Side", "as_linear", "flat_factors", "linear_of", "side_of", "terms_of"]


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


def flat_factors(node: Node) -> list[Node]:
    """Return the factors of a term; division by a number is a factor."""
    match node:
        case Product(factors):
            return [one for factor in factors for one in flat_factors(factor)]
        case Negation(inner):
            return [Negation(Numeral(Fraction(1))), *flat_factors(inner)]
        case Quotient(above, below) if not letters(below):
            return [*flat_factors(above), Quotient(Numeral(Fraction(1)), below)]
        case _:
            return [node]


def side_of(node: Node, letter: str, kind: type) -> Side | None:
    """See a side as multiples of nodes of one kind and a polynomial; None when it is not."""
    parts: list[Part] = []
    rest: Coefficients = ()
    for sign, term in terms_of(node):
        whole = coefficients(term, letter)
        if whole is not None:
            rest = added(rest, scaled(whole, sign))
            continue
        part = _part(term, letter, kind)
        if part is None:
            return None
        parts.append(part._replace(factor=part.factor * sign))
    return Side(tuple(parts), rest)


def _part(term: Node, letter: str, kind: type) -> Part | None:
    factor, found = ONE, None
    for one in flat_factors(term):
        number = coefficients(one, letter)
        if number is not None and len(number) == 1:
            factor = factor * number[0]
        elif isinstance(one, kind) and found is None:
            found = one
        else:
            return None
    return None if found is None else Part(factor, found)


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
