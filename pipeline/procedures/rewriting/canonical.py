"""The simplest form of an expression that exact algebra gives.

Square roots of letters are taken for letters that are not negative, as school algebra takes them.
With s in the place of the root of x, an expression in x and its root is a polynomial, or a
fraction of polynomials, in s; worked out and translated back it is in simplest form.
"""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache

from pipeline.errors import CannotBeWorked
from pipeline.exact.evaluate import tree_of_surd
from pipeline.exact.numbers import Surd
from pipeline.exact.polynomials import Monomial as Powers
from pipeline.exact.polynomials import Polynomial, fraction_of, polynomial_of, tree_of_polynomial
from pipeline.exact.trees import (
    Constant,
    Letter,
    Node,
    Numeral,
    Power,
    Quotient,
    Root,
    children,
    with_children,
)
from pipeline.procedures.rewriting.terms import (
    Monomial,
    monomial,
    negative,
    number,
    over,
    power,
    product_of,
    rational,
    sum_of,
    value_of,
    whole,
)

_MARK = "√"


def holds_letter_root(node: Node) -> bool:
    """Whether a square root of letters, or an exponent of a half on them, occurs."""
    if isinstance(node, Root):
        return value_of(node) is None
    if isinstance(node, Power) and value_of(node) is None:
        exponent = rational(node.exponent)
        if exponent is not None and exponent.denominator == 2:
            return True
    return any(map(holds_letter_root, children(node)))


def _simplest_roots(node: Node) -> Node | None:
    """Return an expression with its roots simplified and joined; None where that fails.

    Raises:
        ZeroDivisionError: something is divided by zero.
    """
    try:
        replaced = _in_roots(node)
        ratio = None if replaced is None else fraction_of(replaced)
    except CannotBeWorked:
        return None
    if ratio is None:
        return None
    return over(_tree(ratio[0]), _tree(ratio[1]))


def _in_roots(node: Node) -> Node | None:
    if isinstance(node, Letter):
        return Power(Letter(_MARK + node.name), number(2))
    if value_of(node) is not None:
        return node
    if isinstance(node, Root):
        return _root(node)
    exponent = rational(node.exponent) if isinstance(node, Power) else None
    if isinstance(node, Power) and exponent is not None and exponent.denominator == 2:
        inside = _root(Root(node.base))
        return None if inside is None else Power(inside, number(exponent * 2))
    parts = [_in_roots(part) for part in children(node)]
    found = [part for part in parts if part is not None]
    return with_children(node, found) if len(found) == len(parts) else None


def _root(node: Root) -> Node | None:
    inside = monomial(node.radicand)
    if inside is None or whole(node.index) != 2:
        return None
    if any(
        exponent.denominator != 1 or not isinstance(base, Letter)
        for base, exponent in inside.powers
    ):
        return None
    outside = Surd.root_of(inside.coefficient)
    if outside is None:
        return None
    marked = [
        (Letter(_MARK + base.name), exponent)
        for base, exponent in inside.powers
        if isinstance(base, Letter)
    ]
    return Monomial(outside, tuple(marked)).tree()


def _tree(value: Polynomial) -> Node:
    terms = [_term(powers, one) for powers, one in value.ordered()]
    return sum_of(*terms)


def _term(powers: Powers, coefficient: Surd) -> Node:
    letters: list[Node] = []
    under: list[Node] = []
    for name, exponent in powers:
        letter = Letter(name.removeprefix(_MARK))
        if exponent // 2:
            letters.append(power(letter, exponent // 2))
        if exponent % 2:
            under.append(letter)
    if not under:
        return product_of(tree_of_surd(coefficient), *letters)
    if len(coefficient.terms) != 1:
        return product_of(tree_of_surd(coefficient), *letters, Root(product_of(*under)))
    ((radicand, size),) = coefficient.terms
    inside = product_of(number(abs(radicand)), *under)
    plain = number(Fraction(abs(size), coefficient.denominator))
    unit = [tree_of_surd(Surd(((-1, 1),)))] if radicand < 0 else []
    term = product_of(plain, *letters, *unit, Root(inside))
    return negative(term) if size < 0 else term


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
    simplest = _simplest_roots(node) if holds_letter_root(node) else None
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
