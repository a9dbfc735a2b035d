"""A side of an equation seen as multiples of bars or radicals, with a polynomial beside them."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import NamedTuple, TypeGuard, TypeVar

from pipeline.exact.coefficients import Coefficients, added, scaled
from pipeline.exact.evaluate import surd_of
from pipeline.exact.numbers import Surd
from pipeline.exact.trees import Negation, Node, Numeral, Product, Quotient, Sum, letters
from pipeline.procedures.equations import ONE, ZERO, Linear, coefficients

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
