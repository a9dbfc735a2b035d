"""The simplest form of an expression that exact algebra gives."""

from __future__ import annotations

from functools import lru_cache

from pipeline.exact.building import tree_of_polynomial, tree_of_surd
from pipeline.exact.polynomials import fraction_of, polynomial_of
from pipeline.exact.trees import Constant, Letter, Node, Numeral, Quotient
from pipeline.procedures.rewriting.letter_roots import holds_letter_root, simplest_roots
from pipeline.procedures.rewriting.terms import number, over, rational, value_of


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
    simplest = simplest_roots(node) if holds_letter_root(node) else None
    return node if simplest is None else simplest


def as_one_fraction(node: Node, reduced: Node) -> Node:
    """Return a quotient of fractions or of products as one fraction, not reduced.

    Args:
        node: the quotient.
        reduced: what to return where it is none, or its parts are no whole numbers.
    """
    if not isinstance(node, Quotient):
        return reduced
    above, below = _top_and_bottom(node.numerator), _top_and_bottom(node.denominator)
    if above is None or below is None:
        return reduced
    top, bottom = above[0] * below[1], above[1] * below[0]
    if bottom <= 1 or top <= 0:
        return reduced
    return Quotient(number(top), number(bottom))


def _top_and_bottom(node: Node) -> tuple[int, int] | None:
    found = rational(node)
    return None if found is None else (found.numerator, found.denominator)
