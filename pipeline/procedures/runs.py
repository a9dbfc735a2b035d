"""The engine: re-runs a solution procedure with at most two of its operations replaced.

The first run keeps a log. For every logged operation that the catalogue has faulty versions of,
the procedure is run again with that one result put in its place: what came before is replayed
from the log, what comes after is worked anew, and the operations after it may fail in turn.
A rule that is wrong in more places than that is tried once more, in all of them at once.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Hashable, Iterable, Iterator
from itertools import product
from typing import Any, ParamSpec, TypeVar

from pipeline.procedures.walk import Ending, Faults, Move, Moves, Step, Walk, faulty_outcomes

_P = ParamSpec("_P")
_T = TypeVar("_T")


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
    waiting: list[tuple[tuple[Any, ...], tuple[tuple[str, ...], ...]]] = [((), ())]
    often: Counter[str] = Counter()
    while waiting:
        replay, faults = waiting.pop()
        run = Walk(replay, logged=len(faults) < depth).through(procedure, problem)
        yield run, _paths(faults)
        results = replay
        for step in run.log:
            last = step is run.log[-1] and run.ends_in(step.result)
            outcomes = faulty_outcomes(step, moves, late=bool(faults))
            if not faults:
                often.update({pattern for patterns in outcomes.values() for pattern in patterns})
            for outcome, patterns in outcomes.items():
                if last and type(outcome) is not Ending:
                    yield run.ended_in(outcome), _paths((*faults, patterns))
                else:
                    waiting.append(((*results, outcome), (*faults, patterns)))
            results = (*results, step.result)
    for pattern, places in often.items():
        if places > depth:
            yield _Consistent(pattern, moves).through(procedure, problem), ((pattern,),)


def _paths(faults: tuple[tuple[str, ...], ...]) -> Iterable[Faults]:
    """Name a path by one pattern for each of its faults, in all the ways there are, in order."""
    if all(len(patterns) == 1 for patterns in faults):
        return (tuple(dict.fromkeys(patterns[0] for patterns in faults)),)
    return dict.fromkeys(tuple(dict.fromkeys(path)) for path in product(*faults))


class _Consistent(Walk):
    """A run in which one wrong rule is used wherever it applies.

    Whoever believes a rule uses it each time; in three places or more that is one fault still.
    Where a rule leaves a choice the right result stands.
    """

    __slots__ = ("moves", "pattern")

    def __init__(self, pattern: str, moves: Moves) -> None:
        super().__init__()
        self.pattern, self.moves = pattern, moves

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
        return (one for one in self.moves(operation, place) if one.pattern == self.pattern)
