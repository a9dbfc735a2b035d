"""One run of a solution procedure: a log of its operations, each with its faulty versions.

A procedure is a plain function that does each step through `Walk.do(operation, place, ...)`.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable
from typing import Any, NamedTuple, ParamSpec, TypeVar

from pipeline.errors import CannotBeWorked

Faults = tuple[str, ...]
"""Ids of the faulty moves made, in the order of the working; a repeated id stands once."""

_P = ParamSpec("_P")
_T = TypeVar("_T")


class Choices(tuple[Any, ...]):
    """Several outcomes that one faulty move can have."""

    __slots__ = ()


class Ending(NamedTuple):
    """An outcome with which the whole procedure stops."""

    value: Hashable


class Step(NamedTuple):
    """One operation done: what, where, from what, and what came out."""

    operation: Callable[..., Any]
    place: str
    arguments: tuple[Any, ...]
    result: Any


class Move(NamedTuple):
    """A faulty version of an operation: takes its arguments, gives an outcome, Choices or None."""

    pattern: str
    version: Callable[..., Any]
    late: bool = False
    """Whether it is made only after another fault; alone it would say what others say better."""


Moves = Callable[[Callable[..., Any], str], Iterable[Move]]
"""Finds the faulty versions of an operation in a place."""


class Plan(NamedTuple):
    """A way to work a problem.

    Args:
        name: `factoring`, `square-root`, `complete-square`, `formula`, or what else it is called.
        procedure: function of a walk and the start.
        start: an equation, numbers, or a tree.
    """

    name: str
    procedure: Callable[[Walk, Any], Hashable]
    start: Any


_NOTHING = object()


class Walk:
    """One run of a procedure.

    Args:
        replay: results that are given and not worked out; the last of them may be a fault.
        logged: whether the steps that are worked out are kept in `log`.
    """

    __slots__ = ("count", "endings", "lines", "log", "logged", "replay")

    def __init__(self, replay: tuple[Any, ...] = (), logged: bool = True) -> None:
        self.replay = replay
        self.logged = logged
        self.count = 0
        self.log: list[Step] = []
        self.lines: list[tuple[Any, ...]] = []
        self.endings: list[Hashable] = []

    def do(
        self, operation: Callable[_P, _T], place: str, *arguments: _P.args, **named: _P.kwargs
    ) -> _T:
        """Do one operation, or take its given result, and log it.

        Raises:
            CannotBeWorked: the operation cannot be done with these arguments.
        """
        index = self.count
        self.count = index + 1
        if index < len(self.replay):
            given = self.replay[index]
            if type(given) is Ending:
                raise _Stopped(given.value)
            return given  # type: ignore[no-any-return]  # has the type of the operation's result
        if not self.logged:
            return operation(*arguments, **named)
        try:
            result = operation(*arguments, **named)
        except (CannotBeWorked, ZeroDivisionError):
            self.log.append(Step(operation, place, arguments, _NOTHING))
            raise
        self.log.append(Step(operation, place, arguments, result))
        return result

    def write(self, *line: Any) -> None:
        """Note a line of the working: a kind of line and its numbers."""
        self.lines.append(line)

    def may_end(self, value: Hashable) -> None:
        """Note an ending on the way, such as "no real solution" at a negative radicand.

        A fault still to come cannot have led here, so it is noted only after all that is given.
        """
        if self.count >= len(self.replay):
            self.endings.append(value)

    def through(self, procedure: Callable[[Walk, Any], Hashable], problem: Any) -> Walk:
        """Run the procedure to its ending, or as far as it goes."""
        try:
            self.endings.append(procedure(self, problem))
        except _Stopped as stopped:
            self.endings.append(stopped.value)
        except (CannotBeWorked, ZeroDivisionError):
            pass
        return self

    def ends_in(self, result: Any) -> bool:
        """Whether the procedure's ending is this very result."""
        return bool(self.endings) and self.endings[-1] is result

    def ended_in(self, ending: Hashable) -> Walk:
        """Return the same run with another last result; nothing need be worked anew for it."""
        other = Walk(logged=False)
        other.lines, other.endings = self.lines, [ending]
        return other


class _Stopped(Exception):
    def __init__(self, value: Hashable) -> None:
        self.value = value


def right_ending(plan: Plan) -> Hashable | None:
    """Return what a procedure ends in without a fault, or None when it does not get there."""
    try:
        return plan.procedure(Walk(logged=False), plan.start)
    except (CannotBeWorked, ZeroDivisionError):
        return None


def faulty_outcomes(step: Step, moves: Moves, late: bool = False) -> dict[Any, tuple[str, ...]]:
    """Return what can come out wrong of a step, each with the patterns that do it.

    Args:
        step: the step as it was done right.
        moves: finds the faulty versions of an operation in a place.
        late: whether a fault was made before.
    """
    found: dict[Any, tuple[str, ...]] = {}
    for pattern, version, only_late in moves(step.operation, step.place):
        if only_late and not late:
            continue
        try:
            outcome = version(*step.arguments)
        except (CannotBeWorked, ZeroDivisionError):
            continue
        for choice in outcome if isinstance(outcome, Choices) else (outcome,):
            if choice is None or choice == step.result:
                continue
            known = found.get(choice, ())
            if pattern not in known:
                found[choice] = (*known, pattern)
    return found


def any_result(result: object) -> object:
    """Stand for the result of any operation: general slips are declared beside it."""
    return result


def copied(question: object) -> object:
    """Stand for the question as copied: slips of the pen are declared beside it."""
    return question
