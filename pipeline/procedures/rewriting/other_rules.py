"""Rewriting rules of one place of an expression: where this stands, that is written instead."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from functools import lru_cache, partial
from itertools import combinations, product
from math import prod
from typing import NamedTuple

from pipeline.exact.printing import tree_source, tree_words
from pipeline.exact.trees import (
    Letter,
    MixedNumber,
    Negation,
    Node,
    Product,
    Quotient,
    Root,
    Sum,
    children,
    replaced,
    with_children,
)
from pipeline.procedures.rewriting.operations import OPERATIONS
from pipeline.procedures.rewriting.terms import (
    factors_of,
    negative,
    product_of,
    signed,
    sum_of,
    terms_of,
)

HOLES = "abcdfg"
"""Letters of the parts of a shape; e and i are numbers of their own."""
MOST_TERMS = 6
"""Terms up to which those of a product of sums are looked at one by one."""


class Seen(NamedTuple):
    """One or several places as a shape.

    Args:
        shape: what stands there, with a letter for each part.
        sites: what stands for the letters, place by place.
        whole: puts what is written at each place into the expression.
        as_written: whether parts stand in their order; what a rule says of another order, one with
            other letters says of this.
    """

    shape: Node
    sites: tuple[tuple[Node, ...], ...]
    whole: Callable[..., Node]
    as_written: bool

    def around(self, instead: Node) -> Node:
        """Put a tree in the letters of the shape in its place."""
        values = (tuple(zip(HOLES, parts, strict=False)) for parts in self.sites)
        return self.whole(*(replaced(instead, one) for one in values))


@lru_cache(maxsize=4096)
def seen_as(place: Node) -> tuple[Seen, ...]:
    """Return the shapes of a place and of the terms that it is worked out to.

    Parts are closed and opened, whole and two by two; a term is seen alone, and with all alike.
    """
    found = list(_shapes(place))
    terms = _terms(place)
    alike: dict[Node, dict[int, Seen]] = {}
    for at, term in enumerate(terms):
        for seen in _shapes(term):
            whole = partial(_among, terms, {at: seen})
            found.append(Seen(seen.shape, seen.sites, whole, seen.as_written))
            alike.setdefault(seen.shape, {}).setdefault(at, seen)
    for shape, seen_at in alike.items():
        if len(seen_at) > 1:
            sites = tuple(parts for seen in seen_at.values() for parts in seen.sites)
            found.append(Seen(shape, sites, partial(_among, terms, seen_at), True))
    return tuple(found)


def _terms(place: Node) -> tuple[Node, ...]:
    """The terms of a product or quotient with sums, each to be worked alone; else none."""
    if isinstance(place, Product):
        spread = [terms_of(one) for one in place.factors]
        if 1 < prod(map(len, spread)) <= MOST_TERMS:
            return tuple(Product(sum(map(_factors, one), ())) for one in product(*spread))
    if isinstance(place, Quotient) and isinstance(place.numerator, Sum):
        return tuple(Quotient(one, place.denominator) for one in terms_of(place.numerator))
    return ()


def _factors(term: Node) -> tuple[Node, ...]:
    """The factors of a term; the first has its minus."""
    sign, whole = signed(term)
    first, *others = factors_of(whole)
    return (first if sign > 0 else negative(first), *others)


def _among(terms: Sequence[Node], seen_at: Mapping[int, Seen], *written: Node) -> Node:
    """Put what is written in some terms beside the others."""
    found = list(terms)
    for (at, seen), one in zip(seen_at.items(), written, strict=True):
        found[at] = seen.whole(one)
    return sum_of(*found)


def _shapes(place: Node) -> Iterator[Seen]:
    yield from _as_whole(place, ())
    for two, beside in _pairs(place):
        yield from _as_whole(two, beside)


def _pairs(place: Node) -> Iterator[tuple[Node, tuple[Node, ...]]]:
    """Two of several terms or factors, or one above and one below the line, and what is beside."""
    parts = children(place)
    if isinstance(place, Sum | Product) and len(parts) > 2 and not isinstance(place, MixedNumber):
        for pair in combinations(range(len(parts)), 2):
            two = with_children(place, [parts[at] for at in pair])
            yield two, tuple(one for at, one in enumerate(parts) if at not in pair)
    if isinstance(place, Quotient):
        above, below = factors_of(place.numerator), factors_of(place.denominator)
        if len(above) + len(below) > 2:
            for i, j in product(range(len(above)), range(len(below))):
                rest = [
                    product_of(*some[:at], *some[at + 1 :]) for some, at in ((above, i), (below, j))
                ]
                yield Quotient(above[i], below[j]), (Quotient(*rest),)


def _as_whole(place: Node, beside: tuple[Node, ...]) -> Iterator[Seen]:
    """See a place with its parts closed or opened; parts that look alike in any one's place."""
    join = sum_of if isinstance(place, Sum) else product_of
    whole = partial(_beside, join, beside)
    met: set[Node] = set()
    for view, opened in _views(place):
        first = None
        for turned in _turned(view):
            seen = _with_letters(turned, opened)
            if seen is not None and first in (None, seen[0]) and seen[0] not in met:
                first, parts = seen
                yield Seen(first, (parts,), whole, turned is view)
        if first is not None:
            met.add(first)


def _views(place: Node) -> Iterator[tuple[Node, Collection[Node]]]:
    """Yield a place with the parts of it that are opened: none, all, one of two.

    At last a minus is seen as a part of what it stands before.
    """
    yield place, ()
    parts = [one for one in children(place) if type(one) in OPERATIONS]
    yield place, parts
    if len(children(place)) == len(parts) == 2:
        yield from ((place, (one,)) for one in parts)
    inside = _minus_inside(place)
    yield inside, [one for one in children(inside)
                   if type(one) in OPERATIONS and not isinstance(one, Negation)]  # fmt: skip


def _minus_inside(place: Node) -> Node:
    """Move the minus before a term into its first factor or above its line."""
    if not isinstance(place, Sum) or isinstance(place, MixedNumber):
        return place
    return with_children(place, [_signed_inside(one) for one in place.terms])


def _signed_inside(term: Node) -> Node:
    inside = children(term)[0] if isinstance(term, Negation) else term
    if inside is not term and isinstance(inside, Product | Quotient):
        first, *others = children(inside)
        return with_children(inside, (negative(first), *others))
    return term


def _beside(join: Callable[..., Node], beside: tuple[Node, ...], written: Node) -> Node:
    return join(written, *beside) if beside else written


def _turned(place: Node) -> Iterator[Node]:
    """The terms or factors of a place from each of them on; parts of other places keep order."""
    parts = children(place)
    if not isinstance(place, Sum | Product) or isinstance(place, MixedNumber):
        yield place
        return
    for at in range(len(parts)):
        yield with_children(place, (*parts[at:], *parts[:at])) if at else place


def _with_letters(place: Node, opened: Collection[Node]) -> tuple[Node, tuple[Node, ...]] | None:
    """Put letters for the parts of a place, or for those of its opened ones; None for too many."""
    parts: list[Node] = []

    def letter(part: Node) -> Node:
        parts.append(part)
        return Letter(HOLES[min(len(parts), len(HOLES)) - 1])

    shape = _over(place, lambda part: _over(part, letter) if part in opened else letter(part))
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
    return [seen.around(instead) for seen in seen_as(place) if typed(seen.shape) == shape]


@lru_cache(maxsize=4096)
def typed(tree: Node) -> str:
    """Write a shape or rule as one types it, so that it reads as what it is."""
    source = tree_source(tree)
    if "Rational(" in source:
        return tree_words(tree)
    return source.replace("**", "^").replace("I", "i")
