"""Small rewriting rules of one place of an expression, by the shape of the place.

What a rule learnt from two answers by anti-unification would say (Plotkin 1970, Machine
Intelligence 5; from memory) is met from the other side: the shape of a place has a letter for each
of its parts, and every small tree in these letters is written instead.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from itertools import chain, product

from pipeline.discovery.language import tree_language, tree_of
from pipeline.exact.trees import (
    Negation,
    Node,
    Power,
    Product,
    Quotient,
    Sum,
    children,
    letters,
    nodes,
    with_children,
)
from pipeline.procedures.rewriting.operations import OPERATIONS
from pipeline.procedures.rewriting.other_rules import typed
from pipeline.procedures.rewriting.terms import number


@lru_cache(maxsize=512)
def written_instead(shape: Node) -> tuple[tuple[Node, str], ...]:
    """Return what may be written in place of a shape, as trees in its letters and as typed."""
    names = "".join(sorted(letters(shape)))
    inside = {type(one) for one in nodes(shape)}
    signs = "+-*" + "/" * (Quotient in inside) + "^" * (Power in inside)
    formulas = tree_language(names, signs)
    small = (tree_of(formulas, at, names) for at in range(len(formulas)))
    worked = (one for whole in _worked_out(shape) for one in _faulty(whole))
    found = dict.fromkeys(chain(small, _faulty(shape), worked))
    found.pop(shape, None)
    return tuple((tree, typed(tree)) for tree in found)


def _worked_out(shape: Node) -> Iterator[Node]:
    """Write a square of a sum, or a product of two, as the sum that it is."""
    match shape:
        case Power(Sum((first, second)), exponent):
            twice = Product((number(2), first, second))
            yield Sum((Power(first, exponent), twice, Power(second, exponent)))
        case Product((Sum(left), Sum(right))):
            yield Sum(tuple(Product(pair) for pair in product(left, right)))


def _faulty(shape: Node) -> Iterator[Node]:
    """Do one thing wrong in a shape or in one of its parts."""
    parts = children(shape)
    if isinstance(shape, Sum | Product) and len(parts) > 2:
        for at in range(len(parts)):
            yield with_children(shape, (*parts[:at], *parts[at + 1 :]))
    for at, part in enumerate(parts):
        turned = part.argument if isinstance(part, Negation) else Negation(part)
        for other in (turned, *_faulty(part)):
            yield with_children(shape, (*parts[:at], other, *parts[at + 1 :]))
        if type(part) in OPERATIONS:
            yield from _spread(shape, at)


def _spread(shape: Node, at: int) -> Iterator[Node]:
    """Do the outer operation to the parts of an inner one: to all, one alone, all but one."""
    parts = children(shape)
    inner, inside = parts[at], children(parts[at])
    done = [with_children(shape, (*parts[:at], one, *parts[at + 1 :])) for one in inside]
    yield with_children(inner, done)
    for place, one in enumerate(inside):
        yield with_children(inner, (*done[:place], one, *done[place + 1 :]))
        yield with_children(inner, (*inside[:place], done[place], *inside[place + 1 :]))
