"""Words into algebra: the expression, equation or inequality behind a sentence.

The problem carries the algebra behind its words, as it would be written from left to right, since
no reader of sentences is trusted with them. Each sum, product, quotient and power in it is one
operation that the words name, and each can be put down wrongly.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping
from types import MappingProxyType
from typing import Final

from pipeline.errors import CannotBeWorked
from pipeline.exact.trees import (
    MixedNumber,
    Node,
    Power,
    Product,
    Quotient,
    Relation,
    Root,
    Sum,
    letters,
    mapped,
)
from pipeline.exact.values import Equation, Expression, Region, Value, number_of
from pipeline.procedures.rewriting.operations import copy_expression
from pipeline.procedures.rewriting.working import size_of
from pipeline.procedures.sentences import (
    Sentence,
    all_solutions,
    letters_of,
    only_solution,
    same_equations,
    with_other_unknowns,
)
from pipeline.procedures.walk import Place, Plan, Walk
from pipeline.reading.inequalities import chain_region
from pipeline.reading.judge import RightAnswer
from pipeline.reading.problems import Notation, Problem
from pipeline.reading.translations import algebra_behind
from pipeline.records import Numbers
from pipeline.tasks.task import Task

__all__ = [
    "TRANSLATE",
    "Sentence",
    "put_power",
    "put_product",
    "put_quotient",
    "put_root",
    "put_sentence",
    "put_sum",
    "translate",
]

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
    value = _value(_ending(sentence))
    solved = all_solutions(sentence)
    others = [Sentence(sides, sentence.signs) for sides in with_other_unknowns(sentence.sides)]
    named = [_value(one) for other in others for one in (_ending(other), *same_equations(other))]
    return RightAnswer(value, tuple(same_equations(sentence)), (*solved, *named))


def _value(ending: Node | Equation | Region) -> Value:
    if isinstance(ending, Equation | Region):
        return ending
    return Expression(ending) if letters(ending) else number_of(ending)


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
