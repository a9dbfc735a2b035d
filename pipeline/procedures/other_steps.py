"""What stands at a step, letter by letter, and what comes out when something else is done there.

The numbers that an operation is given are called a, b, c, ... in their order, those that rightly
come out r, s, t, u. An operation that does the same with each member of a set is looked at member
by member, so that a rule is said of one of them.
"""

from __future__ import annotations

import inspect
import re
from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from functools import lru_cache, partial
from itertools import count
from typing import Any, Final, NamedTuple

from pipeline.errors import CannotBeWorked
from pipeline.exact.evaluate import surd_of, tree_of_surd
from pipeline.exact.numbers import Surd
from pipeline.exact.trees import Letter, Node, Relation, exchanged, letters, nodes, replaced
from pipeline.exact.values import Equation
from pipeline.procedures.questions import expression
from pipeline.procedures.rewriting.operations import OPERATIONS
from pipeline.procedures.rewriting.other_rules import HOLES, rewritten, typed
from pipeline.procedures.rewriting.terms import canonical
from pipeline.procedures.walk import Choices, Fault, Move, Place, Plan, Step, right_ending, walk

GIVEN: Final = "abcdfghm"
"""Letters of the numbers that a step is given; e and i are numbers of their own."""
MOST_PLACES: Final = 150
"""Places that a rewriting rule is tried at: one that finds its own work again would never end."""
RESULT: Final = "rstu"
"""Letters of the numbers that come out."""

MEMBERS: Final = (("first",), ("last",), ("one",))
"""What is kept of several members: the least, the greatest, or any one of them."""
SHORT: Final = 3
"""Symbols of what comes out by a rule that is tried in all places of its operation at once."""
KEPT: Final = ("kept",)
"""What the step was given stands on as it was."""
_SYMBOL: Final = re.compile(r"[A-Za-z]{2,}|\w|[-+*/^]")

UNDONE: Final = (
    CannotBeWorked,
    ArithmeticError,
    AttributeError,
    LookupError,
    RuntimeError,
    TypeError,
    ValueError,
)
"""What working on with numbers that no right step gives may raise."""

Numbers = tuple[Surd, ...]


class Standing(NamedTuple):
    """A step taken apart into numbers.

    Args:
        given: for each member that is worked alike, the numbers that it is made of.
        result: for each member, the numbers that rightly come out.
        joined: makes an outcome of the numbers of all members, none for a member that is left
            out; None where they make no outcome.
    """

    given: tuple[Numbers, ...]
    result: tuple[Numbers, ...]
    joined: Callable[[Sequence[Sequence[Surd]]], Any]

    @property
    def letters(self) -> tuple[str, str]:
        """The letters of what is given, and of what comes out."""
        return GIVEN[: len(self.given[0])], RESULT[: len(self.result[0])]

    def kept(self, which: str) -> Iterator[Any]:
        """Yield what comes out where one of several members is kept, sets in the order of size."""
        places = range(len(self.result)) if len(self.result) > 1 else range(0)
        for at in {"first": places[:1], "last": places[-1:], "one": places}[which]:
            yield self.joined([one if place == at else () for place, one in enumerate(self.result)])

    def made(self, instead: Sequence[str]) -> Iterator[Any]:
        """Yield what comes out by formulas for the numbers of all members, then of one alone."""
        names, parts = "".join(self.letters), []
        for given, result in zip(self.given, self.result, strict=True):
            known = dict(zip(names, (*given, *result), strict=True))
            part = [value for one in instead if (value := _value(one, known)) is not None]
            if len(part) < len(instead):
                return
            parts.append(part)
        yield self.joined(parts)
        for at, part in enumerate(parts) if len(parts) > 1 else ():
            yield self.joined([*self.result[:at], part, *self.result[at + 1 :]])


def standings_at(step: Step) -> list[Standing]:
    """Return how a step can be taken apart: as a whole or by its members, then by its records."""
    singles = _member_by_member(step)
    ways = [singles or [(step.arguments, step.result)]]
    if not singles and _is_list(step.result) and hasattr(next(iter(step.result)), "_fields"):
        ways.append([(step.arguments, type(step.result)((one,))) for one in step.result])
    return [standing for way in ways if (standing := _standing(step, way)) is not None]


def trees_at(step: Step) -> tuple[tuple[str, Node], ...]:
    """Return what stands at a step that makes an expression: its letters with their trees."""
    given = zip(GIVEN, step.arguments, strict=False)
    told = ((letter, tree_of_surd(one) if isinstance(one, Surd) else one) for letter, one in given)
    known = tuple((letter, one) for letter, one in told if isinstance(one, Node))
    if any(one == step.result for _, one in known):
        known = ()
    return (*known, (RESULT[0], step.result))


def tree_instead(step: Step, formula: str) -> Node:
    """Return what a formula makes of the expressions that stand at a step."""
    return canonical(replaced(_formula(formula), trees_at(step)))


def _standing(step: Step, singles: list[tuple[Any, Any]]) -> Standing | None:
    result = tuple(tuple(_numbers(one)) for _, one in singles)
    given = tuple(tuple(_numbers(one)) for one, _ in singles)
    if given == result:
        given = ((),) * len(result)
    if not 0 < len(result[0]) <= len(RESULT) or len(given[0]) > len(GIVEN):
        return None
    if singles[0][1] is step.result:
        return Standing(given, result, lambda parts: _made(step.result, parts[0]))

    def joined(parts: Sequence[Sequence[Surd]]) -> Any:
        shapes = (shape for _, shape in singles)
        made = [_made(shape, part) for shape, part in zip(shapes, parts, strict=True) if part]
        return None if None in made else type(step.result)(one for (one,) in made)

    return Standing(given, result, joined)


def legend_of(step: Step, instead: Sequence[str]) -> dict[str, str]:
    """Return what each letter of a rule for a step stands for, in the words of its operation."""
    parameters = [name.replace("_", " ") for name in inspect.signature(step.operation).parameters]
    if isinstance(step.result, Node):
        return dict(zip(GIVEN, parameters, strict=False)) | {RESULT[0]: "the right result"}
    standings = standings_at(step)
    if not standings:
        return {}
    standing = min(standings, key=lambda one: abs(len(one.result[0]) - len(instead)))
    names: list[str] = []
    for said, argument in zip(parameters, step.arguments, strict=False):
        numbers = len(list(_numbers(argument)))
        numbers //= len(standing.given) if numbers > len(standing.given[0]) else 1
        names += [said] if numbers == 1 else [f"{said} {at}" for at in range(1, numbers + 1)]
    given, result = standing.letters
    told = dict(zip(given, names, strict=False))
    if len(result) == 1:
        return told | {result: "the right result"}
    return told | {one: f"right result {at}" for at, one in enumerate(result, 1)}


class OtherStep(NamedTuple):
    """At this step, this instead.

    Args:
        step: the name of an operation, or the shape of a place of an expression.
        place: where it is done; empty for everywhere.
        instead: what comes out instead, or what is written in place of the shape.
    """

    step: str
    place: str
    instead: tuple[str, ...]

    def __str__(self) -> str:
        place = f" in {self.place}" if self.place else ""
        instead = ", ".join(self.instead)
        return f"{self.step}{place}: {instead}" if self.step else instead

    @property
    def symbols(self) -> int:
        """How many signs, numbers and letters it takes to write the rule."""
        return _symbols(self.instead) + (_symbols((self.step,)) if is_shape(self.step) else 0)

    @property
    def is_short(self) -> bool:
        """Whether it is worth a try in all places at once."""
        return _symbols(self.instead) <= SHORT

    def outcomes(self, step: Step) -> list[Any]:
        """Return what comes out of a step by the rule; nothing where it says nothing of it."""
        if operation_of(self) != step.operation.__name__:
            return []
        if is_shape(self.step):
            stands, written = typed(_formula(self.step)), _formula(self.instead[0])
            (place,) = step.arguments
            return [canonical(one) for one in rewritten(place, stands, written)]
        if self.instead == KEPT:
            whole = [one for one in step.arguments if not isinstance(one, Surd)]
            return [one for one in whole if type(one) is type(step.result)]
        if isinstance(step.result, Node):
            return [tree_instead(step, self.instead[0])]
        ways = standings_at(step)
        if self.instead in MEMBERS:
            made = [one for way in ways for one in way.kept(self.instead[0])]
        else:
            alike = [way for way in ways if len(way.result[0]) == len(self.instead)]
            made = [one for way in alike or ways[:1] for one in way.made(self.instead)]
        return [one for one in made if one is not None]


def operation_of(rule: OtherStep) -> str:
    """Return the name of the operation that a rule does otherwise."""
    if not is_shape(rule.step) or rule.place == Place.ANSWER:
        return rule.place if rule.place == Place.ANSWER else rule.step
    operation = OPERATIONS.get(type(_formula(rule.step)))
    return operation.__name__ if operation else ""


@lru_cache(maxsize=65536)
def _symbols(instead: tuple[str, ...]) -> int:
    return sum(len(_SYMBOL.findall(one)) for one in instead)


def other_step(text: str) -> OtherStep | None:
    """Read a rule as it is written; None where the text is a plain formula."""
    step, colon, instead = text.partition(":")
    if not colon:
        return None
    name, _, place = step.strip().partition(" in ")
    return OtherStep(name, place, tuple(one.strip() for one in instead.split(",")))


def fault_of_rule(rule: OtherStep) -> str | None:
    """Say why a rule cannot be used; None when it can."""
    shape = is_shape(rule.step)
    texts = (rule.step, *rule.instead) if shape else rule.instead
    for text in () if rule.instead in (*MEMBERS, KEPT) else texts:
        try:
            used = letters(_formula(text))
        except CannotBeWorked as error:
            return str(error)
        if not used <= set(HOLES if shape else GIVEN + RESULT):
            return f"{text!r} has a letter that stands for nothing at a step"
    return None


def endings_otherwise(plan: Plan, rule: OtherStep) -> Iterator[Hashable]:
    """Yield what a problem ends in where one step of its working is done by another rule.

    Args:
        plan: a way to work the problem.
        rule: what is done otherwise.
    """
    answer = right_ending(plan)
    if rule.place == Place.ANSWER:
        stands, written = typed(_formula(rule.step)), _formula(rule.instead[0])
        for place, put in places_of(answer):
            for one in rewritten(place, stands, written):
                with suppress(*UNDONE):
                    yield from put(canonical(one))
        return
    if rule.step == write_down.__name__:
        yield from rule.outcomes(Step(write_down, "", (answer,), answer))
        return
    name, left = operation_of(rule), count(MOST_PLACES, -1)

    def here(operation: Callable[..., Any], where: str) -> Iterable[Move]:
        def version(*given: Any) -> Choices:
            return Choices(rule.outcomes(Step(operation, where, given, operation(*given))))

        fits = operation.__name__ == name and rule.place in ("", where)
        return (Move(Fault(name, ""), version),) if fits and next(left) > 0 else ()

    with suppress(*UNDONE):
        for ending, faults in walk(plan.procedure, plan.start, here, 1):
            if faults:
                yield ending


def places_of(answer: Hashable) -> Iterator[tuple[Node, Callable[[Node], tuple[Hashable, ...]]]]:
    """Yield the places of an answer that is written with letters, with what writes them anew.

    Of an equation that tells what a letter is, the other side alone is an answer as well.
    """
    if isinstance(answer, Node):
        for place in dict.fromkeys(one for one in nodes(answer) if type(one) in OPERATIONS):
            yield place, partial(_written_anew, answer, place)
    elif isinstance(answer, Equation) and len(answer.relation.sides) == 2:
        for at, side in enumerate(answer.relation.sides):
            for place, _ in places_of(side):
                yield place, partial(_side_written_anew, answer.relation, at, place)


def _written_anew(tree: Node, place: Node, written: Node) -> tuple[Hashable, ...]:
    return (exchanged(tree, place, written),)


def _side_written_anew(
    relation: Relation, at: int, place: Node, written: Node
) -> tuple[Hashable, ...]:
    sides = list(relation.sides)
    sides[at] = exchanged(sides[at], place, written)
    whole = Equation(Relation(tuple(sides), relation.signs))
    return (whole, sides[at]) if isinstance(sides[1 - at], Letter) else (whole,)


def write_down(answer: Hashable) -> Hashable:
    """Write the answer down."""
    return answer


def is_shape(step: str) -> bool:
    """Whether a step is told by the shape of a place, `a^b`, and not by an operation's name."""
    return bool(step) and not step.isidentifier()


@lru_cache(maxsize=1024)
def _formula(text: str) -> Node:
    return expression(text)


def _value(text: str, known: Mapping[str, Surd]) -> Surd | None:
    try:
        values = tuple((name, tree_of_surd(one)) for name, one in known.items())
        return surd_of(replaced(_formula(text), values))
    except UNDONE:
        return None


def _member_by_member(step: Step) -> list[tuple[tuple[Any, ...], Any]]:
    """The step done for each member of a set or list alone, where that comes to the same."""
    if not _is_list(step.result):
        return []
    for at, argument in enumerate(step.arguments):
        if not _is_list(argument):
            continue
        alone = [
            (*step.arguments[:at], type(argument)((one,)), *step.arguments[at + 1 :])
            for one in _ordered(argument)
        ]
        try:
            results = [step.operation(*arguments) for arguments in alone]
        except UNDONE:
            continue
        if all(type(one) is type(step.result) and len(one) == 1 for one in results) and (
            type(step.result)(one for (one,) in results) == step.result
        ):
            return list(zip(alone, results, strict=True))
    return []


def _is_list(value: Any) -> bool:
    """Whether a value is a set or list of things of one kind, and no record of named fields."""
    return type(value) in (tuple, frozenset) and len({type(one) for one in value}) == 1


def _ordered(value: Any) -> Any:
    if type(value) is not frozenset:
        return value
    return sorted(value, key=lambda one: (one.approximate().real, one.approximate().imag))


def _numbers(value: Any) -> Iterator[Surd]:
    if isinstance(value, Surd):
        yield value
    elif isinstance(value, tuple) or (isinstance(value, frozenset) and _all_surds(value)):
        for one in _ordered(value):
            yield from _numbers(one)


def _all_surds(values: Any) -> bool:
    return all(isinstance(one, Surd) for one in values)


def _made(shape: Any, numbers: Sequence[Surd]) -> Any:
    """Put numbers in the places of those of a result; a plain list may have fewer or more."""
    if type(shape) in (tuple, frozenset) and _all_surds(shape):
        return type(shape)(numbers)
    if len(numbers) != len(list(_numbers(shape))):
        return None
    return _filled(shape, iter(numbers))


def _filled(shape: Any, numbers: Iterator[Surd]) -> Any:
    if isinstance(shape, Surd):
        return next(numbers)
    if isinstance(shape, tuple):
        parts = [_filled(one, numbers) for one in shape]
        return type(shape)(*parts) if hasattr(shape, "_fields") else type(shape)(parts)
    return shape
