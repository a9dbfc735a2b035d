"""How a written expression is seen, where plain text groups it in another way than people do."""

from __future__ import annotations

from collections.abc import Iterator

from pipeline.exact.trees import (
    MixedNumber,
    Negation,
    Node,
    Numeral,
    Power,
    Product,
    Quotient,
    Root,
    Sum,
    children,
    with_children,
)
from pipeline.procedures.rewriting.terms import (
    factors_of,
    negative,
    rational,
    sum_of,
    terms_of,
    value_of,
    whole,
)


def as_seen(tree: Node) -> Node:
    """Regroup an expression without a change of its value.

    `2/3*3/4` is two fractions, not a product over 4; in `2(x + 1)(x + 3)` the brackets are
    multiplied out before the 2; the minus of `-3*-4`, `-12/-4` or
    `-3(x - 4)` belongs to the number, unless the term is subtracted from one before it.
    """
    parts = children(tree)
    if not parts or isinstance(tree, MixedNumber):
        return tree
    if isinstance(tree, Sum):
        first, *rest = tree.terms
        return Sum((as_seen(first), *(_subtracted(term) for term in rest)))
    return _regrouped(with_children(tree, map(as_seen, parts)))


def conjugate_below(place: Quotient) -> Node | None:
    """Return what a denominator of two terms is multiplied by to become rational."""
    first, *others = terms_of(place.denominator)
    values = [value_of(one) for one in (first, *others)]
    if len(values) != 2 or None in values or value_of(place.denominator) is None:
        return None
    plain = all(rational(one) is not None for one in (first, *others))
    return None if plain else sum_of(first, negative(others[0]))


def next_lines(tree: Node) -> Iterator[Node]:
    """Yield what is often written next, where errors begin: `5/(2 + sqrt(3))` with the conjugate.

    Powers of one base with fractions for exponents are written as one power of a sum.
    """
    if isinstance(tree, Quotient) and (other := conjugate_below(tree)) is not None:
        parts = (tree.numerator, tree.denominator)
        yield Quotient(*(Product((part, other)) for part in parts))
    if isinstance(tree, Product) and all(isinstance(one, Power) for one in tree.factors):
        (base, *others), exponents = zip(*map(children, tree.factors), strict=True)
        fractions = all(isinstance(one, Quotient) for one in exponents)
        if fractions and others == [base] * len(others):
            yield Power(base, Sum(exponents))


def _subtracted(term: Node) -> Node:
    return Negation(as_seen(term.argument)) if isinstance(term, Negation) else as_seen(term)


def _regrouped(tree: Node) -> Node:
    if isinstance(tree, Quotient) and isinstance(tree.numerator, Product):
        *front, last = tree.numerator.factors
        fractions = any(isinstance(factor, Quotient) for factor in front)
        if fractions and whole(last) is not None and whole(tree.denominator) is not None:
            return Product((*front, Quotient(last, tree.denominator)))
    if isinstance(tree, Negation) and isinstance(tree.argument, Quotient):
        above, below = tree.argument.numerator, tree.argument.denominator
        if whole(above) is not None and isinstance(below, Negation):
            return Quotient(Negation(above), below)
    if isinstance(tree, Negation) and isinstance(tree.argument, Product):
        first, *others = tree.argument.factors
        if whole(first) is not None and _takes_minus(tree.argument):
            return _brackets_together(Product((Negation(first), *others)))
    return _brackets_together(tree)


def _brackets_together(tree: Node) -> Node:
    """See a number before two brackets as one thing, and their product as another."""
    if not isinstance(tree, Product):
        return tree
    tree = _number_first(tree)
    brackets = [one for one in tree.factors if isinstance(one, Sum) and value_of(one) is None]
    others = [one for one in tree.factors if one not in brackets]
    if len(brackets) != 2 or not others:
        return tree
    return Product((*others, Product(tuple(brackets))))


def _number_first(product: Product) -> Product:
    """See `(x + 1)^2*3` as `3(x + 1)^2`."""
    numbers = tuple(one for one in product.factors if isinstance(one, Numeral))
    if not numbers or not isinstance(product.factors[0], Sum | Power | Root):
        return product
    return Product((*numbers, *(one for one in product.factors if one not in numbers)))


def _takes_minus(product: Product) -> bool:
    """Whether a product is one of numbers only, or of a number and a bracket."""
    if value_of(product) is not None:
        return not any(isinstance(factor, Power) for factor in factors_of(product))
    return any(isinstance(factor, Sum) for factor in factors_of(product))
