"""The general slips as they happen in expressions."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from fractions import Fraction
from typing import Any, get_args

from pipeline.exact.numbers import Surd
from pipeline.exact.trees import Node, Numeral, Product, Sum, children
from pipeline.patterns.slips import shifted, slip_by_one, slip_by_ten, slip_copied, slip_sign
from pipeline.procedures.equations import Linear
from pipeline.procedures.rewriting.terms import (
    negative,
    number,
    product_of,
    signed,
    split_coefficient,
    terms_of,
    value_of,
    with_children,
)
from pipeline.procedures.walk import Choices, any_result, copied

_NODES = get_args(Node)
_MOST_TERMS = 8


@slip_sign.also(
    any_result,
    shows=("expand | (x + 2)(x - 5) | x^2 - 3x + 10", "factor | x^2 - 5x + 6 | (x - 3)(x + 2)"),
    silent=("expand | (x + 2)(x - 5) | x^2 - 3x - 10", "expand | (x + 2)(x - 5) | x^2 - 4x - 10"),
)
def _sign_of_term(result: Any) -> Choices | None:
    if _is_pairs(result):
        return _pairs_changed(result, lambda one: (-one,))
    if not isinstance(result, _NODES):
        return None
    terms = terms_of(result)
    if len(terms) > _MOST_TERMS:
        return None
    return Choices(_with_term(terms, place, negative(term)) for place, term in enumerate(terms))


def _with_term(terms: tuple[Node, ...], place: int, term: Node) -> Node:
    changed = (*terms[:place], term, *terms[place + 1 :])
    return changed[0] if len(changed) == 1 else Sum(changed)


def _is_pairs(result: Any) -> bool:
    return isinstance(result, tuple) and bool(result) and isinstance(result[0], Linear)


def _pairs_changed(
    pairs: tuple[Linear, ...], change: Callable[[Surd], tuple[Surd, ...]]
) -> Choices:
    return Choices(
        (*pairs[:place], one._replace(q=other), *pairs[place + 1 :])
        for place, one in enumerate(pairs)
        for other in change(one.q)
    )


def _shifted(result: Any, by: int) -> Choices | None:
    """Change one number of a result by `by`, up or down: a term, a coefficient, a constant."""
    if _is_pairs(result):
        return _pairs_changed(result, lambda one: shifted(one, by))
    if not isinstance(result, _NODES):
        return None
    terms = terms_of(result)
    if len(terms) > _MOST_TERMS:
        return None
    return Choices(
        _with_term(terms, place, changed)
        for place, term in enumerate(terms)
        for step in (by, -by)
        for changed in [_term_shifted(term, step)]
        if changed is not None
    )


def _term_shifted(term: Node, step: int) -> Node | None:
    value = value_of(term)
    if value is not None:
        return number(value + step)
    sign, body = signed(term)
    split = split_coefficient(body)
    if split is not None:
        coefficient = value_of(split[0])
        # A term that vanishes is no slip in its number.
        if coefficient is None or coefficient * sign == -step:
            return None
        return product_of(number(coefficient * sign + step), split[1])
    if sign == -step or isinstance(body, Product | Sum):
        return None
    return product_of(number(sign + step), body)


@slip_by_one.also(
    any_result,
    shows=("evaluate | 5 + 3*4 | 18", "expand | (x + 2)(x - 5) | x^2 - 4x - 10"),
    silent=("evaluate | 5 + 3*4 | 17", "evaluate | 5 + 3*4 | 27"),
)
def _number_by_one(result: Any) -> Choices | None:
    return _shifted(result, 1)


@slip_by_ten.also(
    any_result,
    shows=("evaluate | 5 + 3*4 | 27", "expand | 6(2x + 7) | 12x + 52"),
    silent=("evaluate | 5 + 3*4 | 17", "evaluate | 5 + 3*4 | 18"),
)
def _number_by_ten(result: Any) -> Choices | None:
    return _shifted(result, 10)


@slip_copied.also(
    copied,
    shows=("expand | 3(x - 12) | 3x - 63", "simplify | x^4 * x^13 | x^35"),
    silent=("expand | 3(x - 12) | 3x - 36", "expand | 3(x - 12) | 3x - 48"),
)
def _number_miscopied(result: Any) -> Choices | None:
    return Choices(_miscopies(result)) if isinstance(result, _NODES) else None


def _miscopies(node: Node) -> Iterator[Node]:
    """Every tree that differs in one number: its digits turned round, or its sign lost."""
    if isinstance(node, Numeral):
        if node.value.denominator == 1 and node.value > 10 and node.value % 10:
            yield Numeral(Fraction(int(str(node.value.numerator)[::-1])))
        return
    if isinstance(node, Sum):
        for place, term in enumerate(node.terms):
            yield _with_term(node.terms, place, negative(term))
    parts = children(node)
    for place, part in enumerate(parts):
        for other in _miscopies(part):
            yield with_children(node, (*parts[:place], other, *parts[place + 1 :]))
