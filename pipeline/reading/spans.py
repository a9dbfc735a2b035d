"""How far a fraction bar typed as a slash reaches when brackets are missing."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from pipeline.exact.trees import (
    Negation,
    Node,
    PlusMinus,
    Product,
    Quotient,
    Root,
    Sum,
    holds,
    letters,
)


@dataclass(frozen=True, slots=True)
class Slash:
    """A slash of a term; brackets around all that stands above or below it settle its reach."""

    upper_settled: bool
    lower_settled: bool


def absorb_spans(
    terms: list[Node], slashes: list[Slash | None], other_way: Callable[[str], bool]
) -> list[Node]:
    """Return the terms of a sum with one slash, with the fraction bar widened where asked.

    Args:
        terms: all terms.
        slashes: the slash of each term; at most one is there.
        other_way: notes a convention and tells whether to read against it.
    """
    place = next(place for place, slash in enumerate(slashes) if slash is not None)
    slash = slashes[place]
    sign, quotient = _unsigned(terms[place])
    if quotient is None or slash is None:
        return terms
    before = [] if slash.upper_settled else terms[:place]
    after = [] if slash.lower_settled else terms[place + 1 :]
    return [*terms[: place - len(before)], *_widened(quotient, sign, (before, after), other_way),
            *(terms[place + 1 :] if slash.lower_settled else [])]  # fmt: skip


def _widened(
    quotient: Quotient,
    sign: Callable[[Node], Node],
    around: tuple[list[Node], list[Node]],
    other_way: Callable[[str], bool],
) -> list[Node]:
    """The quotient and the terms around it that its bar may reach over."""
    before, after = around
    if before and other_way("numerator-span"):
        upper = Sum((*before, sign(quotient.numerator)))
        return [Quotient(upper, quotient.denominator), *after]
    numeric = not any(map(letters, (*before, quotient, *after)))
    if after and (
        letters(quotient.denominator) or any(holds(one, Root) for one in after) or numeric
    ):
        lower = Sum((quotient.denominator, *after))
        if before and other_way("both-spans"):
            return [Quotient(Sum((*before, sign(quotient.numerator))), lower)]
        if not before and other_way("denominator-span"):
            return [sign(Quotient(quotient.numerator, lower))]
    return [*before, sign(quotient), *after]


def _unsigned(term: Node) -> tuple[Callable[[Node], Node], Quotient | None]:
    inner: Node = term
    sign: Callable[[Node], Node] = _same
    if isinstance(term, Negation):
        inner, sign = term.argument, Negation
    elif isinstance(term, PlusMinus):
        upper = term.upper
        inner, sign = term.argument, lambda node: PlusMinus(node, upper)
    if isinstance(inner, Product) and isinstance(inner.factors[0], Quotient):
        return sign, None
    return sign, inner if isinstance(inner, Quotient) else None


def _same(node: Node) -> Node:
    return node
