"""How far a fraction bar typed as a slash reaches when brackets are missing."""

from __future__ import annotations

from collections.abc import Callable

from pipeline.exact.trees import Negation, Node, PlusMinus, Product, Quotient, Sum, letters

__all__ = ["absorb_spans"]


def absorb_spans(terms: list[Node], slash: int, other_way: Callable[[str], bool]) -> list[Node]:
    """Return the terms of a sum with one slash, with the fraction bar widened where asked.

    Args:
        terms: all terms.
        slash: place of the term that is a quotient, perhaps signed.
        other_way: notes a convention and tells whether to read against it.
    """
    sign, quotient = _unsigned(terms[slash])
    if quotient is None:
        return terms
    before, after = terms[:slash], terms[slash + 1 :]
    if before and other_way("numerator-span"):
        upper = Sum((*before, sign(quotient.numerator)))
        return [Quotient(upper, quotient.denominator), *after]
    if after and letters(quotient.denominator):
        lower = Sum((quotient.denominator, *after))
        if before and other_way("both-spans"):
            return [Quotient(Sum((*before, sign(quotient.numerator))), lower)]
        if not before and other_way("denominator-span"):
            return [sign(Quotient(quotient.numerator, lower))]
    return terms


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
