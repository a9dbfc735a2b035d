"""The same story told of another of its quantities: x(x + 7) = 60 and x(x - 7) = 60.

Where the words do not say which of two numbers the letter stands for, both are right; where they
do, the other one is no error that can be told from the answer.
"""

from __future__ import annotations

from collections.abc import Iterator

from pipeline.exact.trees import (
    Letter,
    Negation,
    Node,
    Product,
    Quotient,
    Sum,
    children,
    letters,
    replaced,
)


def with_other_unknowns(sides: tuple[Node, ...]) -> Iterator[tuple[Node, ...]]:
    """Yield the sides of an equation in one letter, told of each other quantity in it.

    Args:
        sides: left and right side; an expression, one side, has no other quantity.
    """
    names = frozenset().union(*map(letters, sides))
    if len(sides) < 2 or len(names) != 1:
        return
    letter = Letter(next(iter(names)))
    inverses = [one for side in sides for one in _inverses(side, letter, sides)]
    for inverse in dict.fromkeys(inverses):
        yield tuple(replaced(side, ((letter.name, inverse),)) for side in sides)


def _inverses(node: Node, letter: Letter, sides: tuple[Node, ...]) -> Iterator[Node]:
    """Yield what the letter is in terms of each other quantity beside it."""
    everywhere = sum(_count(side, letter) for side in sides)
    if isinstance(node, Sum):
        beside = everywhere - _count(node, letter) > 0
        yield from _of_sum(node.terms, letter, beside)
    if isinstance(node, Sum | Product) and letter in children(node):
        for part in children(node):
            yield from _of_multiple(part, letter)
    for part in children(node):
        yield from _inverses(part, letter, sides)


def _of_sum(terms: tuple[Node, ...], letter: Letter, beside: bool) -> Iterator[Node]:
    """X + 7 beside x, or 20 - x beside x; x + x + 7 holds both as well."""
    bare = terms.count(letter)
    rest = [term for term in terms if term != letter]
    if bare and (beside or bare > 1):
        for term in rest:
            if not letters(term):
                yield Sum((letter, Negation(term)))
    if beside and rest == list(terms) and len(terms) == 2 and Negation(letter) in terms:
        yield from (Sum((one, Negation(letter))) for one in terms if not letters(one))


def _of_multiple(part: Node, letter: Letter) -> Iterator[Node]:
    """5x or x/5 that stands beside x."""
    match part:
        case Product((factor, other)) if other == letter and not letters(factor):
            yield Quotient(letter, factor)
        case Quotient(above, below) if above == letter and not letters(below):
            yield Product((below, letter))


def _count(node: Node, letter: Letter) -> int:
    return (node == letter) + sum(_count(part, letter) for part in children(node))
