"""Syntax trees that keep what was written: no sum is added up, no sign moved.

Subtraction is a `Sum` with a `Negation`, division a `Quotient`; brackets leave no node behind.
A tree is immutable and hashable, so it can be a key of a cache.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from operator import attrgetter
from typing import Any, Final, TypeAlias, TypeGuard, TypeVar, dataclass_transform


class _Hashed:
    """A node remembers its hash, since trees are looked up in caches over and over."""

    __slots__ = ("_hash",)
    _hash: int


_Kind = TypeVar("_Kind", bound=_Hashed)
_Read = TypeVar("_Read")


@dataclass_transform(frozen_default=True)
def _node(kind: type[_Kind]) -> type[_Kind]:
    """Make a class of frozen nodes with the fields that it names."""
    made = dataclass(frozen=True, slots=True)(kind)
    made.__hash__ = _remembered_hash  # type: ignore[method-assign,assignment]  # not the made one
    return made


def _remembered_hash(node: _Hashed) -> int:
    try:
        return node._hash
    except AttributeError:
        found = hash((type(node).__name__, *_hash_parts(node)))
        object.__setattr__(node, "_hash", found)
        return found


def _hash_parts(node: object) -> Iterator[object]:
    """The fields of a node; a fraction as two integers, which hash ten times faster."""
    for name in type(node).__slots__:  # type: ignore[attr-defined]  # every node has slots
        field = getattr(node, name)
        if isinstance(field, Fraction):
            yield field.numerator
            yield field.denominator
        else:
            yield field


@_node
class Numeral(_Hashed):
    """A number as typed: an integer or a decimal, never negative.

    `places` counts typed decimals and is None for an integer.
    """

    value: Fraction
    places: int | None = None


@_node
class Constant(_Hashed):
    """A number with a name: `pi`, `e`, `i` or `oo`."""

    name: str


@_node
class Letter(_Hashed):
    """An unknown or a parameter, case kept."""

    name: str


@_node
class Sum(_Hashed):
    """Two or more terms, in the order written."""

    terms: tuple[Node, ...]


@_node
class MixedNumber(Sum):
    """A whole number with a fraction behind it, `2 1/2`: a sum that needs no adding up."""


@_node
class Product(_Hashed):
    """Two or more factors, in the order written."""

    factors: tuple[Node, ...]


@_node
class Negation(_Hashed):
    """A minus sign before a term."""

    argument: Node


@_node
class Quotient(_Hashed):
    """A fraction or a division."""

    numerator: Node
    denominator: Node


@_node
class Power(_Hashed):
    """A base with an exponent."""

    base: Node
    exponent: Node


@_node
class Root(_Hashed):
    """A radical; `index` 2 is the square root."""

    radicand: Node
    index: Node = Numeral(Fraction(2))


@_node
class Absolute(_Hashed):
    """An absolute value."""

    argument: Node


@_node
class PlusMinus(_Hashed):
    """A sign that is both: `upper` is +1 where the plus stands on top, -1 for the reverse sign."""

    argument: Node
    upper: int = 1


KNOWN_FUNCTIONS: Final = frozenset({"log", "ln", "sin", "cos", "tan", "exp"})
"""Names that stand for one function everywhere; any other is a question's own."""


@_node
class Call(_Hashed):
    """A named function such as `f(x)` or `log(x)`; `base` only where one is written."""

    name: str
    arguments: tuple[Node, ...]
    base: Node | None = None


@_node
class Relation(_Hashed):
    """A chain of relations: `sides` has one more entry than `signs`.

    Signs are `=`, `!=`, `<`, `<=`, `>`, `>=` and `~` (about).
    """

    sides: tuple[Node, ...]
    signs: tuple[str, ...]

    @property
    def difference(self) -> Sum:
        """The first side less the second."""
        return Sum((self.sides[0], Negation(self.sides[1])))

    def pairs(self) -> Iterator[tuple[Node, str, Node]]:
        """Yield each sign of the chain with the sides beside it."""
        return zip(self.sides, self.signs, self.sides[1:], strict=False)


TURNED: Final = {
    "<": ">", "<=": ">=", ">": "<", ">=": "<=", "=": "=", "!=": "!=", "~": "~",
}  # fmt: skip
"""The sign of a relation and the sign when its two sides change places."""

Node: TypeAlias = (
    Numeral
    | Constant
    | Letter
    | Sum
    | Product
    | Negation
    | Quotient
    | Power
    | Root
    | Absolute
    | PlusMinus
    | Call
    | Relation
)


Substitution: TypeAlias = tuple[tuple[str, Node], ...]
"""Letters with the trees that stand for them."""


def _one(name: str) -> Callable[[Any], tuple[Node, ...]]:
    part = attrgetter(name)
    return lambda node: (part(node),)


def _of_call(node: Call) -> tuple[Node, ...]:
    return node.arguments if node.base is None else (*node.arguments, node.base)


_PARTS: Final[dict[type, Callable[[Any], tuple[Node, ...]]]] = {
    **dict.fromkeys((Numeral, Constant, Letter), lambda _: ()),
    **dict.fromkeys((Sum, MixedNumber), attrgetter("terms")),
    Product: attrgetter("factors"),
    Relation: attrgetter("sides"),
    **dict.fromkeys((Negation, Absolute, PlusMinus), _one("argument")),
    Quotient: attrgetter("numerator", "denominator"),
    Power: attrgetter("base", "exponent"),
    Root: attrgetter("radicand", "index"),
    Call: _of_call,
}
"""Kind of node -> what gives its parts: nothing is asked of trees more often."""


def children(node: Node) -> tuple[Node, ...]:
    """Return the parts of a node, in the order written; a leaf has none."""
    return _PARTS[type(node)](node)


def in_order(names: Iterable[str]) -> list[str]:
    """Letters as a point lists their values: by the alphabet, whether small or capital."""
    return sorted(names, key=lambda name: (name.casefold(), name))


def with_children(node: Node, parts: Iterable[Node]) -> Node:
    """Return the same kind of node with other parts; a leaf stays."""
    found = tuple(parts)
    match node:
        case Sum():
            return Sum(found)
        case Product():
            return Product(found)
        case Relation(_, signs):
            return Relation(found, signs)
        case PlusMinus(_, upper):
            return PlusMinus(found[0], upper)
        case Negation() | Absolute() | Quotient() | Power() | Root():
            return type(node)(*found)
        case Call(name, arguments, _):
            return Call(name, found[: len(arguments)], *found[len(arguments) :])
    return node


def mapped(node: Node, change: Callable[[Node], Node]) -> Node:
    """Rebuild a tree with `change` applied to every part of a node."""
    parts = children(node)
    return with_children(node, map(change, parts)) if parts else node


def changed(node: Node, change: Callable[[Node], Node | None]) -> Node:
    """Return a tree with parts of it, or all of it, changed.

    Args:
        node: the tree.
        change: gives what stands in the place of a part; None to look inside of it.
    """
    found = change(node)
    return mapped(node, lambda part: changed(part, change)) if found is None else found


def exchanged(node: Node, old: Node, new: Node) -> Node:
    """Put one tree in the place of another."""
    return changed(node, lambda part: new if part == old else None)


def replaced(tree: Node, values: Substitution) -> Node:
    """Return a tree with other trees, such as numbers, in the place of letters."""
    known = dict(values)
    return changed(tree, lambda one: known.get(one.name, one) if isinstance(one, Letter) else None)


def unsigned(node: Node) -> Node:
    """Return a tree without the minus sign before it."""
    return node.argument if isinstance(node, Negation) else node


def folded(
    parts: Iterable[Node],
    read: Callable[[Node], _Read | None],
    join: Callable[[_Read, _Read], _Read],
) -> _Read | None:
    """Read each part and join what was read from left to right; None where one cannot be read."""
    total: _Read | None = None
    for part in parts:
        value = read(part)
        if value is None:
            return None
        total = value if total is None else join(total, value)
    return total


def nodes(tree: Node) -> Iterator[Node]:
    """Yield a tree and all its parts."""
    waiting = [tree]
    while waiting:
        one = waiting.pop()
        yield one
        waiting.extend(children(one))


def is_decimal(node: Node) -> TypeGuard[Numeral]:
    """Whether a node is a number typed as a decimal."""
    return isinstance(node, Numeral) and node.places is not None


def holds(tree: Node, *kinds: type) -> bool:
    """Whether a node of one of these kinds stands in a tree."""
    return any(isinstance(one, kinds) for one in nodes(tree))


def letters(node: Node) -> frozenset[str]:
    """Return the names of all letters in a tree."""
    found, waiting = set(), [node]
    while waiting:
        one = waiting.pop()
        if isinstance(one, Letter):
            found.add(one.name)
        else:
            waiting.extend(children(one))
    return frozenset(found)
