"""Rewriting rules of one place of an expression: where this stands, that is written instead."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import lru_cache
from itertools import combinations
from typing import NamedTuple

from pipeline.exact.printing import tree_source, tree_words
from pipeline.exact.trees import (
    Letter,
    MixedNumber,
    Node,
    Product,
    Root,
    Sum,
    children,
    replaced,
    with_children,
)
from pipeline.procedures.rewriting.operations import OPERATIONS
from pipeline.procedures.rewriting.terms import product_of, sum_of

HOLES = "abcdfg"
"""Letters of the parts of a shape; e and i are numbers of their own."""


class Seen(NamedTuple):
    """A place as a shape.

    Args:
        shape: the place with a letter for each of its parts.
        parts: what stands for the letters.
        beside: the other terms or factors, where two of several are looked at.
    """

    shape: Node
    parts: tuple[Node, ...]
    beside: tuple[Node, ...]

    def around(self, place: Node, instead: Node) -> Node:
        """Put a tree in the letters of the shape in its place."""
        values = tuple(zip(HOLES, self.parts, strict=False))
        found = replaced(instead, values)
        if not self.beside:
            return found
        return (sum_of if isinstance(place, Sum) else product_of)(found, *self.beside)


@lru_cache(maxsize=4096)
def seen_as(place: Node) -> tuple[Seen, ...]:
    """Return the shapes of a place: with its parts closed and opened, whole and two by two."""
    return tuple(_shapes(place))


def _shapes(place: Node) -> Iterator[Seen]:
    parts = children(place)
    yield from _as_whole(place, ())
    if isinstance(place, Sum | Product) and len(parts) > 2 and not isinstance(place, MixedNumber):
        for pair in combinations(range(len(parts)), 2):
            two = with_children(place, [parts[at] for at in pair])
            yield from _as_whole(two, tuple(one for at, one in enumerate(parts) if at not in pair))


def _as_whole(place: Node, beside: tuple[Node, ...]) -> Iterator[Seen]:
    """See a place closed and opened; terms and factors that look alike in any one's place."""
    for opened in (False, True):
        first = None
        for turned in _turned(place):
            seen = _with_letters(turned, opened)
            if seen is not None and first in (None, seen[0]):
                first = seen[0]
                yield Seen(*seen, beside)


def _turned(place: Node) -> Iterator[Node]:
    """The terms or factors of a place from each of them on; parts of other places keep order."""
    parts = children(place)
    if not isinstance(place, Sum | Product) or isinstance(place, MixedNumber):
        yield place
        return
    for at in range(len(parts)):
        yield with_children(place, (*parts[at:], *parts[:at]))


def _with_letters(place: Node, opened: bool) -> tuple[Node, tuple[Node, ...]] | None:
    """Put letters for the parts of a place, or for the parts of its parts; None for too many."""
    parts: list[Node] = []

    def letter(part: Node) -> Node:
        parts.append(part)
        return Letter(HOLES[min(len(parts), len(HOLES)) - 1])

    def inside(part: Node) -> Node:
        return _over(part, letter) if type(part) in OPERATIONS else letter(part)

    if opened and not any(type(part) in OPERATIONS for part in children(place)):
        return None
    shape = _over(place, inside if opened else letter)
    return (shape, tuple(parts)) if len(parts) <= len(HOLES) else None


def _over(node: Node, change: Callable[[Node], Node]) -> Node:
    """Change the parts of a node, but for the index of a root."""
    first, *others = children(node)
    kept = others if isinstance(node, Root) else map(change, others)
    return with_children(node, (change(first), *kept))


def rewritten(place: Node, shape: str, instead: Node) -> list[Node]:
    """Return what a rule makes of a place: once for each way to see its shape there.

    Args:
        place: of an expression.
        shape: as `typed` writes it, so that products of products are products.
        instead: what is written in its place.
    """
    return [seen.around(place, instead) for seen in seen_as(place) if typed(seen.shape) == shape]


@lru_cache(maxsize=4096)
def typed(tree: Node) -> str:
    """Write a shape or rule as one types it, so that it reads as what it is."""
    source = tree_source(tree)
    return tree_words(tree) if "Rational(" in source else source.replace("**", "^")
