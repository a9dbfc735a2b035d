"""The engine: runs of a solution procedure with at most two of its operations replaced.

A procedure is a plain function that does each step through `Walk.do(operation, place, ...)`.
The first run keeps a log. For every logged operation that the catalogue has faulty versions of,
the procedure is run again with that one result put in its place: what came before is replayed
from the log, what comes after is worked anew, and the operations after it may fail in turn.
A rule that is wrong in more places than that is tried once more, in all of them at once.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Hashable, Iterable, Iterator
from dataclasses import dataclass, field
from enum import StrEnum
from itertools import product
from typing import Any, Final, NamedTuple, ParamSpec, TypeVar

from pipeline.errors import CannotBeWorked
from pipeline.exact.values import Region, value_key

# Endings that are statements and no values.
NO_REAL: Final = "NO_REAL"
"""There is no real solution, and there may be complex ones."""
NO_SOLUTION: Final = "NO_SOLUTION"
"""There is no solution at all."""
ALL_REAL: Final = "ALL_REAL"
"""Every real number is a solution."""


@dataclass(frozen=True, slots=True)
class Fault:
    """A faulty move; two of one pattern are the same fault, whichever version was made.

    Args:
        id: the pattern.
        says: what the version of it did that was made.
    """

    id: str
    says: str = field(compare=False)


Faults = tuple[Fault, ...]
"""The faulty moves made, in the order of the working; a repeated one stands once."""

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

    fault: Fault
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

    __slots__ = ("count", "endings", "log", "logged", "replay", "written", "wrote_at")

    def __init__(self, replay: tuple[Any, ...] = (), logged: bool = True) -> None:
        self.replay = replay
        self.logged = logged
        self.count = self.wrote_at = 0
        self.log: list[Step] = []
        self.written: list[tuple[Any, ...]] = []
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
        """Note a line of the working: its kind, and what the kind makes the line of."""
        self.written.append(line)
        self.wrote_at = self.count

    @property
    def lines(self) -> list[Any]:
        """The lines of the working: equations, and records of `pipeline.procedures.equations`."""
        return [kind(*numbers) for kind, *numbers in self.written]

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
        """Whether the procedure's ending is this very result, and no line was written of it."""
        return bool(self.endings) and self.endings[-1] is result and self.wrote_at < self.count

    def ended_in(self, ending: Hashable) -> Walk:
        """Return the same run with another last result; nothing need be worked anew for it."""
        other = Walk(logged=False)
        other.written, other.endings = self.written, [ending]
        return other


class _Stopped(Exception):
    def __init__(self, value: Hashable) -> None:
        self.value = value


def right_ending(plan: Plan) -> Hashable | None:
    """Return what a procedure ends in without a fault, or None when it does not get there."""
    try:
        return said(plan.procedure(Walk(logged=False), plan.start))
    except (CannotBeWorked, ZeroDivisionError):
        return None


def said(ending: Hashable) -> Hashable:
    """Return an ending, for a region that is empty or the whole line the statement that it is."""
    key = value_key(ending) if isinstance(ending, Region) else ""
    return key if key in (NO_SOLUTION, ALL_REAL) else ending


def faulty_outcomes(step: Step, moves: Moves, late: bool = False) -> dict[Any, Faults]:
    """Return what can come out wrong of a step, each with the faults that do it.

    Args:
        step: the step as it was done right.
        moves: finds the faulty versions of an operation in a place.
        late: whether a fault was made before.
    """
    found: dict[Any, Faults] = {}
    for fault, version, only_late in moves(step.operation, step.place):
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
            if fault not in known:
                found[choice] = (*known, fault)
    return found


def needed(found: _T | None) -> _T:
    """Return what has been found.

    Raises:
        CannotBeWorked: nothing was; a faulty version that needs it does not apply then.
    """
    if found is None:
        raise CannotBeWorked
    return found


def any_result(result: object) -> object:
    """Stand for the result of any operation: general slips are declared beside it."""
    return result


def copied(question: object) -> object:
    """Stand for the question as copied: slips of the pen are declared beside it."""
    return question


def walk(
    procedure: Callable[[Walk, Any], Hashable], problem: Any, moves: Moves, depth: int = 2
) -> Iterator[tuple[Hashable, Faults]]:
    """Yield every ending of a procedure with the faults that lead there, `()` the right path."""
    for run, paths in runs(procedure, problem, moves, depth):
        for path in paths:
            for value in run.endings:
                yield value, path


def runs(
    procedure: Callable[[Walk, Any], Hashable], problem: Any, moves: Moves, depth: int = 2
) -> Iterator[tuple[Walk, Iterable[Faults]]]:
    """Yield every run of a procedure with at most `depth` operations replaced.

    Args:
        procedure: function of a walk and a problem.
        problem: what it takes.
        moves: finds the faulty versions of an operation in a place.
        depth: most faults on one path.

    Yields:
        A run, and the ways to name its faults: patterns that do the same share a run.
    """
    waiting: list[tuple[tuple[Any, ...], tuple[Faults, ...]]] = [((), ())]
    often: Counter[Fault] = Counter()
    while waiting:
        replay, faults = waiting.pop()
        run = Walk(replay, logged=len(faults) < depth).through(procedure, problem)
        yield run, _paths(faults)
        results = replay
        for step in run.log:
            last = step is run.log[-1] and run.ends_in(step.result)
            outcomes = faulty_outcomes(step, moves, late=bool(faults))
            if not faults:
                often.update({fault for same in outcomes.values() for fault in same})
            for outcome, same in outcomes.items():
                if last and type(outcome) is not Ending:
                    yield run.ended_in(outcome), _paths((*faults, same))
                else:
                    waiting.append(((*results, outcome), (*faults, same)))
            results = (*results, step.result)
    for fault, places in often.items():
        if places > depth:
            yield _Consistent(fault, moves).through(procedure, problem), ((fault,),)


def _paths(faults: tuple[Faults, ...]) -> Iterable[Faults]:
    """Name a path by one of the faults that do each step, in all the ways there are, in order."""
    if all(len(same) == 1 for same in faults):
        return (tuple(dict.fromkeys(same[0] for same in faults)),)
    return dict.fromkeys(tuple(dict.fromkeys(path)) for path in product(*faults))


class _Consistent(Walk):
    """A run in which one wrong rule is used wherever it applies.

    Whoever believes a rule uses it each time; in three places or more that is one fault still.
    Where a rule leaves a choice the right result stands.
    """

    __slots__ = ("fault", "moves")

    def __init__(self, fault: Fault, moves: Moves) -> None:
        super().__init__()
        self.fault, self.moves = fault, moves

    def do(
        self, operation: Callable[_P, _T], place: str, *arguments: _P.args, **named: _P.kwargs
    ) -> _T:
        """Do one operation by the wrong rule, where the rule says what comes out."""
        result = super().do(operation, place, *arguments, **named)
        step = Step(operation, place, arguments, result)
        wrong = [one for one, names in faulty_outcomes(step, self._own).items() if names]
        if len(wrong) != 1 or type(wrong[0]) is Ending:
            return result
        return wrong[0]  # type: ignore[no-any-return]  # has the type of the operation's result

    def _own(self, operation: Callable[..., Any], place: str) -> Iterable[Move]:
        return (one for one in self.moves(operation, place) if one.fault == self.fault)


class Place(StrEnum):
    """A place; expressions are worked in the place of their task."""

    ANSWER = "answer"
    ABSOLUTE_VALUE = "absolute value"
    CHAIN = "chain of inequalities"
    COMPLETING_THE_SQUARE = "completing the square"
    COMPOSITION = "composition"
    COMPOUND_INEQUALITY = "compound inequality"
    CONJUGATE = "conjugate"
    SQUARE_CONSTANT = "constant of a square"
    CONVERSION = "conversion"
    COORDINATE = "coordinate of a vertex"
    DECIMALS = "linear equation with decimals"
    DISCRIMINANT = "discriminant"
    DIVISION = "division of polynomials"
    DOMAIN = "domain"
    EVALUATE = "evaluate"
    EXPAND = "expand"
    FACTOR = "factor"
    FACTORING = "factoring"
    FORMULA = "formula"
    FUNCTION = "function"
    LAWS = "laws of logarithms"
    LINE = "line"
    LINEAR = "linear equation"
    LINEAR_INEQUALITY = "linear inequality"
    LOGARITHM = "logarithm"
    NUMBER_OF_SOLUTIONS = "number of solutions"
    OFFER = "offer"
    POLYNOMIAL_EQUATION = "polynomial equation"
    POWER_EQUATION = "power equation"
    BARE_POWER = "power of the unknown alone"
    PROPORTION = "proportion"
    QUADRATIC_FORM = "quadratic form"
    QUADRATIC_FORMULA = "quadratic formula"
    QUADRATIC_INEQUALITY = "quadratic inequality"
    RADICAL_EQUATION = "radical equation"
    RATIONAL_EQUATION = "rational equation"
    REWRITING = "rewriting"
    SIGN_CHART = "sign chart"
    SIMPLIFY = "simplify"
    SLOPE = "slope"
    SQUARE_ROOT = "square-root property"
    SYSTEM = "system of equations"
    TRANSLATION = "translation"
    ONE_LETTER = "translation with one letter"
    SEVERAL_LETTERS = "translation with several letters"
    VERTEX = "vertex"
    COMPLETED_SQUARE = "vertex of a completed square"
    WORD_PROBLEM = "word problem"
