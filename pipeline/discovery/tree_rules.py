"""Small rewriting rules of one place of an expression, by the shape of the place.

What a rule learnt from two answers by anti-unification would say (Plotkin 1970, Machine
Intelligence 5; from memory) is met from the other side: the shape of a place has a letter for each
of its parts, and every small tree in these letters is written instead.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from typing import NamedTuple

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

__all__ = ["Instead", "written_instead"]


class Instead(NamedTuple):
    """What is written in place of a shape.

    Args:
        tree: in the letters of the shape.
        text: the same, typed.
        symbols: how long it is.
    """

    tree: Node
    text: str
    symbols: int


@lru_cache(maxsize=512)
def written_instead(shape: Node) -> tuple[Instead, ...]:
    """Return what may be written in place of a shape, the shortest first."""
    names = "".join(sorted(letters(shape)))
    found: dict[Node, int] = {}
    inside = {type(one) for one in nodes(shape)}
    signs = "+-*" + "/" * (Quotient in inside) + "^" * (Power in inside)
    formulas = tree_language(names, signs)
    for at, formula in enumerate(formulas):
        found.setdefault(tree_of(formulas, at, names), formula.symbols)
    for tree in (*_spread(shape), *_changed(shape)):
        found.setdefault(tree, _size(tree))
    found.pop(shape, None)
    ordered = sorted(found.items(), key=lambda pair: pair[1])
    return tuple(Instead(tree, typed(tree), size) for tree, size in ordered)


def _size(tree: Node) -> int:
    return 1 + sum(map(_size, children(tree)))


def _spread(shape: Node) -> Iterator[Node]:
    """Do the outer operation to the parts of an inner one: to all, to one alone, to all but one."""
    parts = children(shape)
    for at, inner in enumerate(parts):
        if type(inner) not in OPERATIONS:
            continue
        done = [
            with_children(shape, (*parts[:at], one, *parts[at + 1 :])) for one in children(inner)
        ]
        yield with_children(inner, done)
        for place, one in enumerate(children(inner)):
            yield with_children(inner, (*done[:place], one, *done[place + 1 :]))
            alone = (*children(inner)[:place], done[place], *children(inner)[place + 1 :])
            yield with_children(inner, alone)


def _changed(shape: Node) -> Iterator[Node]:
    """Leave a term or factor out, turn a sign, here or in a part."""
    parts = children(shape)
    if isinstance(shape, Sum | Product) and len(parts) > 2:
        for at in range(len(parts)):
            yield with_children(shape, (*parts[:at], *parts[at + 1 :]))
    for at, part in enumerate(parts):
        turned = part.argument if isinstance(part, Negation) else Negation(part)
        yield with_children(shape, (*parts[:at], turned, *parts[at + 1 :]))
        if type(part) in OPERATIONS:
            for inner in _changed(part):
                yield with_children(shape, (*parts[:at], inner, *parts[at + 1 :]))
