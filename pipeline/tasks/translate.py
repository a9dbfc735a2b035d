"""Words into algebra: the expression, equation or inequality behind a sentence.

The problem carries the algebra behind its words, as it would be written from left to right, since
no reader of sentences is trusted with them. Each sum, product, quotient and power in it is one
operation that the words name, and each can be put down wrongly.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator, Mapping
from fractions import Fraction
from functools import lru_cache
from types import MappingProxyType
from typing import Final, NamedTuple

from pipeline.errors import CannotBeWorked
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
    MixedNumber,
    Negation,
    Node,
    Numeral,
    Power,
    Product,
    Quotient,
    Relation,
    Root,
    Sum,
    children,
    letters,
    mapped,
    replaced,
)
from pipeline.exact.values import Equation, Number, Region, Roots, Value
from pipeline.procedures.endings import value_of
from pipeline.procedures.rewriting.operations import copy_expression
from pipeline.procedures.rewriting.working import size_of
from pipeline.procedures.walk import Place, Plan, Walk
from pipeline.reading.inequalities import chain_region
from pipeline.reading.judge import RightAnswer
from pipeline.reading.problems import Notation, Problem
from pipeline.reading.translations import algebra_behind
from pipeline.records import Numbers
from pipeline.tasks.task import Task


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


MOST_NODES: Final = 40
"""Nodes of the largest sentence that is walked; longer ones are judged only."""


def put_sentence(sentence: Sentence) -> Sentence:
    """Decide which quantities the words name, and how they compare."""
    return sentence


def put_sum(place: Sum) -> Node:
    """Add or subtract as the words say."""
    return place


def put_product(place: Product) -> Node:
    """Multiply as the words say."""
    return place


def put_quotient(place: Quotient) -> Node:
    """Divide as the words say."""
    return place


def put_power(place: Power) -> Node:
    """Raise to the power that the words name."""
    return place


def put_root(place: Root) -> Node:
    """Take the root that the words name."""
    return place


_OPERATIONS: Final[Mapping[type, Callable[..., Node]]] = MappingProxyType(
    {Sum: put_sum, Product: put_product, Quotient: put_quotient, Power: put_power, Root: put_root}
)


def translate(step: Walk, start: Sentence) -> Hashable:
    """Put a sentence down: what it compares first, then each quantity from the outside in."""
    sentence = step.do(put_sentence, Place.TRANSLATION, start)
    place = Place.SEVERAL_LETTERS if len(letters_of(start)) > 1 else Place.ONE_LETTER
    sides = tuple(
        _put(step, step.do(copy_expression, place, side), place) for side in sentence.sides
    )
    put = Sentence(sides, sentence.signs)
    for other in same_equations(put, usual=True):
        step.may_end(other)
    solution = only_solution(put)
    if solution is not None:
        step.may_end(frozenset({solution}))
    return _ending(put)


def _put(step: Walk, node: Node, place: str) -> Node:
    operation = _OPERATIONS.get(type(node))
    if operation is not None:
        node = step.do(operation, place, node)
    if isinstance(node, MixedNumber):
        return node
    return mapped(node, lambda part: _put(step, part, place))


def _ending(sentence: Sentence) -> Node | Equation | Region:
    if not sentence.signs:
        return sentence.sides[0]
    relation = Relation(sentence.sides, sentence.signs)
    region = None if "=" in sentence.signs else chain_region(relation)
    return Equation(relation) if region is None else region


def _plans(problem: Problem) -> list[Plan]:
    """Read the algebra behind the words.

    Raises:
        CannotBeWorked: there are several relations.
    """
    start = _sentence(problem)
    if sum(map(size_of, start.sides)) > MOST_NODES:
        return []
    return [Plan("translation", translate, start)]


def _sentence(problem: Problem) -> Sentence:
    if len(problem.relations) > 1:
        raise CannotBeWorked("a sentence is one expression, one equation or one inequality")
    if not problem.relations:
        return Sentence((problem.tree,))
    (relation,) = problem.relations
    return Sentence(relation.sides, relation.signs)


def _right(problem: Problem, _: Numbers) -> RightAnswer:
    """Return the algebra behind the words, and what is as right as it.

    The solution of an equation, and the equation of another quantity of the same story, are
    right in another form: no error pattern is laid to them.

    Raises:
        CannotBeWorked: there are several relations.
        ZeroDivisionError: something is divided by zero.
    """
    sentence = _sentence(problem)
    value = value_of(_ending(sentence))
    solved = all_solutions(sentence)
    others = [Sentence(sides, sentence.signs) for sides in with_other_unknowns(sentence.sides)]
    named = [value_of(one) for other in others for one in (_ending(other), *same_equations(other))]
    return RightAnswer(value, tuple(same_equations(sentence)), (*solved, *named))


TRANSLATE: Final = Task(
    "translate",
    "the words in algebra",
    "words, a colon, and the expression, equation or inequality behind them; words alone "
    "where the column `answer` gives that",
    "three less than a number: x - 3",
    "x - 3",
    _plans,
    _right,
    notation=Notation(algebra=algebra_behind),
    of_words=True,
)
