"""What stands at a step, letter by letter, and what comes out when something else is done there.

The numbers that an operation is given are called a, b, c, ... in their order, those that rightly
come out r, s, t, u. An operation that does the same with each member of a set is looked at member
by member, so that a rule is said of one of them.
"""

from __future__ import annotations

import inspect
from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from functools import lru_cache
from itertools import count
from typing import Any, Final, NamedTuple

from pipeline.errors import CannotBeWorked
from pipeline.exact.building import tree_of_surd
from pipeline.exact.evaluate import surd_of
from pipeline.exact.numbers import Surd
from pipeline.exact.trees import Node, letters
from pipeline.procedures.questions import expression
from pipeline.procedures.rewriting.canonical import canonical
from pipeline.procedures.rewriting.evaluating import replaced
from pipeline.procedures.rewriting.operations import OPERATIONS
from pipeline.procedures.rewriting.other_rules import HOLES, rewritten
from pipeline.procedures.runs import walk
from pipeline.procedures.walk import Choices, Move, Moves, Plan, Step, right_ending

__all__ = [
    "MEMBERS",
    "UNDONE",
    "OtherStep",
    "Standing",
    "endings_otherwise",
    "fault_of_rule",
    "is_shape",
    "legend_of",
    "members_kept",
    "other_step",
    "outcome_of",
    "standing_at",
    "write_down",
]

GIVEN: Final = "abcdfghm"
"""Letters of the numbers that a step is given; e and i are numbers of their own."""
MOST_PLACES: Final = 150
"""Places that a rewriting rule is tried at: one that finds its own work again would never end."""
RESULT: Final = "rstu"
"""Letters of the numbers that come out."""

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


def standing_at(step: Step) -> Standing | None:
    """Return what stands at a step; None where no number comes out of it."""
    singles = _member_by_member(step) or [(step.arguments, step.result)]
    result = tuple(tuple(_numbers(one)) for _, one in singles)
    given = tuple(tuple(_numbers(one)) for one, _ in singles)
    if given == result:
        given = ((),) * len(result)
    if not 0 < len(result[0]) <= len(RESULT) or len(given[0]) > len(GIVEN):
        return None
    shapes = [one for _, one in singles]
    if len(singles) == 1 and shapes[0] is step.result:
        return Standing(given, result, lambda parts: _made(step.result, parts[0]))

    def joined(parts: Sequence[Sequence[Surd]]) -> Any:
        made = [_made(shape, part) for shape, part in zip(shapes, parts, strict=True) if part]
        return None if None in made else type(step.result)(one for (one,) in made)

    return Standing(given, result, joined)


def legend_of(step: Step) -> dict[str, str]:
    """Return what each letter of a step stands for, in the words of its operation."""
    standing = standing_at(step)
    if standing is None:
        return {}
    names: list[str] = []
    for name, argument in zip(inspect.signature(step.operation).parameters, step.arguments):  # noqa: B905
        count_of = len(list(_numbers(argument))) // len(standing.given)
        said = name.replace("_", " ")
        names += [said] if count_of == 1 else [f"{said} {at}" for at in range(1, count_of + 1)]
    given, result = standing.letters
    told = dict(zip(given, names, strict=False))
    if len(result) == 1:
        return told | {result: "the right result"}
    return told | {one: f"right result {at}" for at, one in enumerate(result, 1)}


def outcome_of(step: Step, instead: Sequence[str]) -> Any:
    """Return what comes out of a step by a rule; None where the rule says nothing of it.

    Args:
        step: the step as it is done right.
        instead: formulas for the numbers that come out, in the letters of what stands there;
            `first` and `last` keep one of several members.
    """
    standing = standing_at(step)
    if standing is None:
        return None
    if instead in MEMBERS:
        return standing.joined(members_kept(standing, instead[0]))
    names = "".join(standing.letters)
    parts = []
    for given, result in zip(standing.given, standing.result, strict=True):
        known = dict(zip(names, (*given, *result), strict=True))
        part = [value for one in instead if (value := _value(one, known)) is not None]
        if len(part) < len(instead):
            return None
        parts.append(part)
    return standing.joined(parts)


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
        return f"{self.step}{place}: {', '.join(self.instead)}"


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
    for text in () if rule.instead in MEMBERS else texts:
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
    step, place, instead = rule
    if step == write_down.__name__:
        answer = right_ending(plan)
        found = outcome_of(Step(write_down, "", (answer,), answer), instead)
        yield from () if found is None else (found,)
        return
    moves = _of_shape(step, instead[0]) if is_shape(step) else _of_operation(step, instead)

    def here(operation: Callable[..., Any], where: str) -> Iterable[Move]:
        return moves(operation, where) if place in ("", where) else ()

    with suppress(*UNDONE):
        for ending, faults in walk(plan.procedure, plan.start, here, 1):
            if faults:
                yield ending


def write_down(answer: Hashable) -> Hashable:
    """Write the answer down."""
    return answer


def is_shape(step: str) -> bool:
    """Whether a step is told by the shape of a place, `a^b`, and not by an operation's name."""
    return not step.isidentifier()


def _of_operation(name: str, instead: Sequence[str]) -> Moves:
    def moves(operation: Callable[..., Any], where: str) -> Iterable[Move]:
        if operation.__name__ != name:
            return ()

        def version(*given: Any) -> Any:
            return outcome_of(Step(operation, where, given, operation(*given)), instead)

        return (Move(name, version),)

    return moves


def _of_shape(shape: str, instead: str) -> Moves:
    stands, written, left = _formula(shape), _formula(instead), count(MOST_PLACES, -1)

    def version(place: Node) -> Choices:
        return Choices(canonical(one) for one in rewritten(place, stands, written))

    def moves(operation: Callable[..., Any], _where: str) -> Iterable[Move]:
        fits = operation is OPERATIONS.get(type(stands)) and next(left) > 0
        return (Move(shape, version),) if fits else ()

    return moves


MEMBERS: Final = (("first",), ("last",))


def members_kept(standing: Standing, which: str) -> list[tuple[Surd, ...]]:
    """Keep the first or last of several members, sets in the order of size."""
    at = 0 if which == "first" else len(standing.result) - 1
    return [one if place == at else () for place, one in enumerate(standing.result)]


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
