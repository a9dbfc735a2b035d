"""Sentences put into algebra, and the other ways to say the same: cleared, divided, solved.

The same story may be told of another of its quantities: x(x + 7) = 60 and x(x - 7) = 60. Where the
words do not say which of two numbers the letter stands for, both are right; where they do, the
other one is no error that can be told from the answer.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from functools import lru_cache
from typing import NamedTuple

from pipeline.exact.coefficients import exact_roots
from pipeline.exact.numbers import Surd
from pipeline.exact.polynomials import (
    Polynomial,
    fraction_of,
    polynomial_of,
    reduce_fraction,
    tree_of_polynomial,
)
from pipeline.exact.trees import (
    Letter,
    Negation,
    Node,
    Numeral,
    Product,
    Quotient,
    Relation,
    Sum,
    children,
    letters,
    replaced,
)
from pipeline.exact.values import Equation, Number, Roots, Value


class Sentence(NamedTuple):
    """One quantity, or several with the signs between them.

    Args:
        sides: the quantities as written.
        signs: `=`, `<`, `<=`, ...; one fewer than sides, so none for an expression.
    """

    sides: tuple[Node, ...]
    signs: tuple[str, ...] = ()

    @property
    def is_equation(self) -> bool:
        """Whether it says that two quantities are equal."""
        return self.signs == ("=",)


def same_equations(sentence: Sentence, usual: bool = False) -> Iterator[Equation]:
    """Yield an equation cleared of denominators, and divided by one of its quantities.

    A/P = 5 says what A = 5P says, and 60/x = x + 7 what x(x + 7) = 60 says.

    Args:
        sentence: an equation; anything else has none.
        usual: whether to leave out fractions that few would write, such as 1 + q/d = 15/d.
    """
    whole = _difference(sentence)
    if whole is None or not whole[0]:
        return
    one = Polynomial.constant(1)
    found = {tuple(map(Polynomial.source, whole))}
    divided = not usual or whole[0].degree() > 1 or not whole[0].constant_term
    for below in (one, *(_quantities(sentence) if divided else ())):
        above, left = reduce_fraction(whole[0], below)
        name = (above.source(), left.source())
        if name not in found and (below == one or not left.is_constant):
            found.add(name)
            yield _equals_zero(above, left)


def letters_of(sentence: Sentence) -> list[str]:
    """Return the letters of a sentence in alphabetical order."""
    return sorted(frozenset().union(*map(letters, sentence.sides)))


@lru_cache(maxsize=4096)
def _difference(sentence: Sentence) -> tuple[Polynomial, Polynomial] | None:
    if not sentence.is_equation:
        return None
    return fraction_of(Sum((sentence.sides[0], Negation(sentence.sides[1]))))


def _quantities(sentence: Sentence) -> list[Polynomial]:
    """Return what an equation may be divided by: its letters, and sums that are factors."""
    singles = [Polynomial.letter(name) for name in letters_of(sentence)]
    factors = [one for side in sentence.sides for one in children(side)]
    sums = (polynomial_of(one) for one in factors if isinstance(one, Sum) and letters(one))
    products = [singles[0] * singles[1]] if len(singles) == 2 else []
    return [*singles, *products, *(one for one in sums if one is not None)]


def _equals_zero(above: Polynomial, below: Polynomial) -> Equation:
    tree = tree_of_polynomial(above)
    if not below.is_constant:
        tree = Quotient(tree, tree_of_polynomial(below))
    return Equation(Relation((tree, Numeral(Fraction(0))), ("=",)))


def only_solution(sentence: Sentence) -> Surd | None:
    """Return the solution of a linear equation in one letter, which may be given in its place."""
    whole = _difference(sentence)
    if whole is None or len(whole[0].letters) != 1 or not whole[1].is_constant:
        return None
    parts = whole[0].collected(next(iter(whole[0].letters)))
    return -parts[0].constant_term / parts[1].constant_term if len(parts) == 2 else None


def all_solutions(sentence: Sentence) -> tuple[Value, ...]:
    """Return the solutions of an equation in one letter, all of them and each alone."""
    whole = _difference(sentence)
    if whole is None or len(whole[0].letters) != 1:
        return ()
    roots = exact_roots(tuple(whole[0].coefficients(next(iter(whole[0].letters)))))
    numbers = tuple(Number.exactly(root) for root in roots or ())
    return (Roots(numbers), *numbers) if numbers else ()


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
