"""Sums of logarithms written as one, and the logarithm of a product written as a sum."""

from __future__ import annotations

from typing import NamedTuple

from pipeline.errors import CannotBeWorked
from pipeline.exact.numbers import Surd
from pipeline.exact.polynomials import Polynomial, fraction_of
from pipeline.exact.trees import Call, Negation, Node, Power, Product, Quotient, Root, Sum, letters
from pipeline.procedures.equations import multiples_of
from pipeline.procedures.logarithms import base_of, is_logarithm
from pipeline.procedures.parts import Part, over, root_of_part, times, tree_of_part
from pipeline.procedures.quantities import Quantity, logarithm, node_of
from pipeline.procedures.rewriting.terms import rational
from pipeline.procedures.walk import Place, Plan, Walk

_ONE = Polynomial.constant(1)
_MOST = 6


class Multiple(NamedTuple):
    """factor*log(inside)."""

    factor: Surd
    inside: Part


class Condensed(NamedTuple):
    """A sum of multiples of logarithms to one base."""

    base: Quantity
    terms: tuple[Multiple, ...]


class Factor(NamedTuple):
    """A factor of an argument with its exponent, negative below the line."""

    inside: Node
    exponent: Surd


class Spread(NamedTuple):
    """The logarithm of a product of powers."""

    base: Quantity
    factors: tuple[Factor, ...]


class QuotientOfLogarithms(NamedTuple):
    """log(above)/log(below), both to one base."""

    base: Quantity
    above: Node
    below: Node


def multiple_inside(factor: Surd, inside: Part) -> Part:
    """Write n*log(y) as log(y^n), and log(y)/n with the n-th root."""
    if not factor.is_rational:
        raise CannotBeWorked
    power, index = factor.as_fraction().as_integer_ratio()
    if not (0 < power <= _MOST and index <= _MOST):
        raise CannotBeWorked
    found = inside
    for _ in range(power - 1):
        found = times(found, inside)
    return found if index == 1 else root_of_part(found, index)


def join_arguments(base: Quantity, first: Part, second: Part, side: int) -> Part:
    """Write a sum of logarithms as that of a product, a difference as that of a quotient."""
    return times(first, second) if side > 0 else over(first, second)


def logarithm_of(inside: Node, base: Quantity) -> Node:
    """Return the logarithm of an expression as a tree."""
    if base == Surd.of(10) or not isinstance(base, Surd):
        return logarithm(inside, base)
    return Call("log", (inside,), node_of(base))


def condense(step: Walk, start: Condensed) -> Node:
    """Take the factors into the logarithms, then join these."""
    total: Part | None = None
    for factor, inside in start.terms:
        side, size = (1, factor) if factor.real_sign() > 0 else (-1, -factor)
        part = step.do(multiple_inside, Place.LAWS, size, inside) if size != 1 else inside
        if total is None:
            total = part if side > 0 else over((_ONE, _ONE), part)
        else:
            total = step.do(join_arguments, Place.LAWS, start.base, total, part, side)
    if total is None:
        raise CannotBeWorked
    return logarithm_of(tree_of_part(total), start.base)


def sum_of_logarithms(base: Quantity, factors: tuple[Factor, ...]) -> Node:
    """Write factor*log(inside) + ... for the factors of an argument."""
    terms: list[Node] = []
    for inside, exponent in factors:
        size = -exponent if exponent.real_sign() < 0 else exponent
        log = logarithm_of(inside, base)
        term = log if size == 1 else Product((node_of(size), log))
        terms.append(Negation(term) if exponent.real_sign() < 0 else term)
    return terms[0] if len(terms) == 1 else Sum(tuple(terms))


def spread(base: Quantity, factors: tuple[Factor, ...]) -> Node:
    """Write the logarithm of a product of powers as a sum."""
    return sum_of_logarithms(base, factors)


def expand_logarithm(step: Walk, start: Spread) -> Node:
    """Write one logarithm as a sum."""
    return step.do(spread, Place.LAWS, start.base, start.factors)


def law_plans(tree: Node) -> list[Plan]:
    """Return the ways to condense a sum of logarithms, or to expand one; none for other trees."""
    try:
        return _law_plans(tree)
    except (CannotBeWorked, ZeroDivisionError):
        return []


def _law_plans(tree: Node) -> list[Plan]:
    if is_logarithm(tree):
        factors = tuple(factors_inside(tree.arguments[0], Surd.of(1)))
        if not any(letters(one.inside) or isinstance(one.inside, Sum) for one in factors):
            return []
        simple = len(factors) == 1 and factors[0].exponent == 1
        if simple and not isinstance(factors[0].inside, Sum):
            return []
        return [Plan("expand", expand_logarithm, Spread(base_of(tree), factors))]
    if isinstance(tree, Quotient):
        return _quotient_plans(tree)
    found, bases = [], set()
    for factor, call in multiples_of(tree, is_logarithm) or [(Surd.of(1), None)]:
        part = None if call is None else fraction_of(call.arguments[0])
        if call is None or part is None:
            return []
        bases.add(base_of(call))
        found.append(Multiple(factor, part))
    if len(bases) != 1 or found[0].factor.real_sign() < 0 or len(found) > _MOST:
        return []
    return [Plan("condense", condense, Condensed(bases.pop(), tuple(found)))]


def keep_quotient(base: Quantity, above: Node, below: Node) -> Node:
    """Leave a quotient of two logarithms as it is: no law joins them."""
    return Quotient(logarithm_of(above, base), logarithm_of(below, base))


def divide_logarithms(step: Walk, start: QuotientOfLogarithms) -> Node:
    """Divide one logarithm by another to the same base."""
    return step.do(keep_quotient, Place.LAWS, *start)


def _quotient_plans(tree: Node) -> list[Plan]:
    """Return the way through a quotient of two logarithms to one base; none for other trees."""
    if not isinstance(tree, Quotient):
        return []
    parts = [tree.numerator, tree.denominator]
    calls = [one for one in parts if is_logarithm(one)]
    if len(calls) != 2 or base_of(calls[0]) != base_of(calls[1]):
        return []
    inside = (calls[0].arguments[0], calls[1].arguments[0])
    start = QuotientOfLogarithms(base_of(calls[0]), *inside)
    return [Plan("quotient", divide_logarithms, start)]


def factors_inside(node: Node, exponent: Surd) -> list[Factor]:
    """Take an argument apart into its factors, each with its exponent."""
    match node:
        case Product(parts):
            return [one for part in parts for one in factors_inside(part, exponent)]
        case Quotient(above, below):
            return [*factors_inside(above, exponent), *factors_inside(below, -exponent)]
        case Power(base, power) | Root(base, power):
            number = rational(power)
            if number is None or not letters(base):
                return [Factor(node, exponent)]
            return factors_inside(
                base, exponent * (number if isinstance(node, Power) else 1 / number)
            )
        case Negation():
            raise CannotBeWorked("the logarithm of a negative number")
    return [Factor(node, exponent)]
