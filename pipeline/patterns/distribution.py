"""Errors in multiplying a bracket by a number, and in taking a bracket off."""

from __future__ import annotations

from pipeline.exact.numbers import Surd
from pipeline.exact.trees import MixedNumber, Negation, Node, Product, Sum
from pipeline.patterns.linear_equations import multiplied_first_term_only
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.operations import distribute
from pipeline.procedures.rewriting.operations import add, drop_minus, multiply
from pipeline.procedures.rewriting.terms import (
    factors_of,
    monomial,
    negative,
    product_of,
    signed,
    sum_of,
    terms_of,
    value_of,
)

_SKILL = "distribution"
_LINEAR = "linear equation"


def _multiplier(place: Node) -> tuple[Node, tuple[Node, ...]] | None:
    """The factor before (or after) one bracket, with its sign, and the terms in the bracket."""
    sign, body = signed(place)
    if not isinstance(body, Product):
        return None
    factors = factors_of(body)
    brackets = [factor for factor in factors if isinstance(factor, Sum)]
    others = [factor for factor in factors if not isinstance(factor, Sum)]
    if len(brackets) != 1 or not others:
        return None
    outside = product_of(*others)
    if monomial(outside) is None:
        return None
    return (outside if sign == 1 else negative(outside)), terms_of(brackets[0])


@multiplied_first_term_only.also(
    multiply,
    shows=("expand | 7(x + 8) | 7x + 8", "expand | 4(x + 3) | 4x + 3"),
    silent=("expand | 7(x + 8) | 7x + 56", "expand | 7(x + 8) | x + 56"),
)
def _first_term_only(place: Node) -> Node | None:
    """Multiplies only the first term in the bracket by the number outside."""
    found = _multiplier(place)
    if found is None:
        return None
    outside, terms = found
    return sum_of(product_of(outside, terms[0]), *terms[1:])


multiplied_first_term_only.also(drop_minus)(_first_term_only)


@pattern(
    "multiplied-last-term-only",
    skill=_SKILL,
    source="common practice",
    shows=(
        "expand | 7(x + 8) | x + 56",
        "expand | -2(3x - 5) | 3x + 10",
    ),
    silent=(
        "expand | 7(x + 8) | 7x + 56",
        "expand | 7(x + 8) | 7x + 8",
    ),
)
@instead_of(multiply)
def multiplied_last_term_only(place: Node) -> Node | None:
    """Multiplies only the last term in the bracket by the number outside."""
    found = _multiplier(place)
    if found is None:
        return None
    outside, terms = found
    return sum_of(*terms[:-1], product_of(outside, terms[-1]))


multiplied_last_term_only.also(drop_minus)(multiplied_last_term_only.moves[0].version)


@pattern(
    "minus-not-carried-through",
    skill=_SKILL,
    source="OpenStax Elementary Algebra 2e, 1.9; A. G. Anderson 1982; Ayres 2001",
    shows=(
        "expand | -7(3x - 2) | -21x - 14",
        "expand | -(x - 5) | -x - 5",
        "simplify | (5x + 2) - (3x - 4) | 2x - 2",
        "simplify | 5 - 3(x + 2) | 11 - 3x",
    ),
    silent=(
        "expand | -7(3x - 2) | -21x + 14",
        "expand | 7(3x - 2) | 21x + 14",
        "simplify | (5x + 2) - (3x - 4) | 8x - 2",
    ),
)
@instead_of(drop_minus)
def minus_not_carried_through(place: Negation) -> Node | None:
    """Lets the minus before a bracket change the first term only."""
    inside = place.argument
    if isinstance(inside, Sum) and not isinstance(inside, MixedNumber):
        terms = terms_of(inside)
        return sum_of(negative(terms[0]), *terms[1:])
    found = _multiplier(inside)
    if found is None:
        return None
    outside, terms = found
    if isinstance(outside, Negation):
        return None
    products = [product_of(outside, term) for term in terms]
    return sum_of(negative(products[0]), *products[1:])


@minus_not_carried_through.also(multiply)
def _negative_factor_not_carried(place: Product) -> Node | None:
    found = _multiplier(place)
    if found is None or not isinstance(found[0], Negation):
        return None
    outside, terms = found[0].argument, found[1]
    products = [product_of(outside, term) for term in terms]
    return sum_of(negative(products[0]), *products[1:])


@minus_not_carried_through.also(
    distribute,
    _LINEAR,
    shows=("solve | -3(x - 4) = 9 | -7",),
    silent=("solve | -3(x - 4) = 9 | 1",),
)
def _minus_not_carried_in_equation(k: Surd, p: Surd, q: Surd) -> tuple[Surd, Surd] | None:
    """Lets the minus before a bracket change the first term only."""
    return (k * p, -k * q) if k.is_real and k.real_sign() < 0 else None


@pattern(
    "minus-before-bracket-ignored",
    skill=_SKILL,
    source="OpenStax Intermediate Algebra 2e, 5.1 (a related caution)",
    shows=(
        "simplify | (5x + 2) - (3x - 4) | 8x - 2",
        "simplify | 9 - (2x + 1) | 2x + 10",
    ),
    silent=(
        "simplify | (5x + 2) - (3x - 4) | 2x + 6",
        "simplify | (5x + 2) - (3x - 4) | 2x - 2",
    ),
)
@instead_of(add)
def minus_before_bracket_ignored(place: Sum) -> Node | None:
    """Adds a bracket that is to be subtracted."""
    terms = place.terms
    if not any(isinstance(term, Negation) and isinstance(term.argument, Sum) for term in terms[1:]):
        return None
    return sum_of(*(_opened(term) for term in terms))


def _opened(term: Node) -> Node:
    body = signed(term)[1]
    return body if isinstance(body, Sum) else term


@pattern(
    "multiplier-added",
    skill=_SKILL,
    source="Payne and Squibb 1990, from memory",
    shows=(
        "expand | 5(x + 2) | x + 7",
        "expand | 3(x - 8) | x - 5",
    ),
    silent=(
        "expand | 5(x + 2) | 5x + 10",
        "expand | 5(x + 2) | 5x + 2",
    ),
)
@instead_of(multiply)
def multiplier_added(place: Product) -> Node | None:
    """Adds the number outside to the bracket instead of multiplying by it."""
    found = _multiplier(place)
    if found is None or value_of(found[0]) is None:
        return None
    return sum_of(*found[1], found[0])
