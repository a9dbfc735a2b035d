"""What an error pattern is, and how one is declared.

    @pattern(
        source="common practice",
        shows=("solve | x^2 + 10x = 11 | -1, -9", ...),
        silent=("solve | x^2 + 10x = 11 | 1, -11", ...),
    )
    @instead_of(square, Place.COMPLETING_THE_SQUARE)
    def half_not_squared(half: Surd, whole: Surd) -> Surd:
        '''Adds half the coefficient of the unknown instead of the square of that half.'''
        return half

The function's name is the id, its file the skill. The docstring is the sentence that reports
print; the examples are the pattern's tests.
A move takes the arguments of the operation that it stands in for, and returns a wrong outcome,
several of them as `Choices`, or None where it does not apply.
"""

from __future__ import annotations

import inspect
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Any, Final, NamedTuple, ParamSpec

from pipeline.errors import InternalError
from pipeline.procedures.walk import Fault, Move, Place

Operation = Callable[..., Any]
_P = ParamSpec("_P")

FEWEST_EXAMPLES: Final = 2
"""Examples that show a pattern, and as many that do not: one could be chance."""


class Example(NamedTuple):
    """A question with an answer that shows a pattern, or must not."""

    task: str
    problem: str
    answer: str


class Instead(NamedTuple):
    """A faulty version of an operation, in the places named; no place means everywhere."""

    operation: Operation
    places: tuple[Place, ...]
    version: Operation
    late: bool = False


@dataclass(slots=True)
class Pattern:
    """One declared error pattern.

    Args:
        id: permanent, states the wrong thing.
        skill: the skill that it belongs to.
        source: where it is described, `common practice`, or `from memory`.
        sentence: what was done, as reports print it; describes an answer, not a person.
        shows: questions with answers that show it.
        silent: questions with wrong or right answers that do not.
        general: whether it is a slip, which fits any step and explains alone.
        moves: its faulty versions of operations.
    """

    id: str
    skill: str
    source: str
    sentence: str
    shows: tuple[Example, ...]
    silent: tuple[Example, ...]
    general: bool = False
    moves: list[Instead] = field(default_factory=list)

    def says(self, version: Operation) -> str:
        """Return what a version of it did, in its own words where it has them."""
        return " ".join((version.__doc__ or self.sentence).split())

    @property
    def tasks(self) -> tuple[str, ...]:
        """The tasks that its examples come from."""
        return tuple(dict.fromkeys(example.task for example in self.shows))

    def also(
        self,
        operation: Callable[_P, Any],
        *places: Place,
        shows: tuple[str, ...] = (),
        silent: tuple[str, ...] = (),
        late: bool = False,
    ) -> Callable[[Callable[_P, Any]], Operation]:
        """Declare one more faulty version that belongs to this pattern.

        A docstring of the version is the sentence for what it leads to.

        Args:
            operation: what it stands in for.
            places: where; no place means everywhere.
            shows: further examples.
            silent: further examples that must stay silent.
            late: whether it is made only after another fault.
        """

        def declare(version: Callable[_P, Any]) -> Operation:
            self.moves.append(_checked(self.id, Instead(operation, places, version, late)))
            self.shows += tuple(_example(self.id, line) for line in shows)
            self.silent += tuple(_example(self.id, line) for line in silent)
            return version

        return declare


_PATTERNS: dict[str, Pattern] = {}


def registered() -> Iterator[Pattern]:
    """Yield the declared patterns in the order of their declaration."""
    yield from _PATTERNS.values()


def instead_of(
    operation: Callable[_P, Any], *places: Place
) -> Callable[[Callable[_P, Any]], Instead]:
    """Say which operation a function does wrongly, and where."""

    def declare(version: Callable[_P, Any]) -> Instead:
        return Instead(operation, places, version)

    return declare


def pattern(
    *, source: str, shows: tuple[str, ...], silent: tuple[str, ...], general: bool = False
) -> Callable[[Instead], Pattern]:
    """Declare an error pattern; its id is the function's name, its skill the name of the file.

    Raises:
        InternalError: the declaration is not complete; the message names it and what is missing.
    """

    def declare(move: Instead) -> Pattern:
        if not isinstance(move, Instead):
            raise InternalError(
                f"{getattr(move, '__name__', move)}: below @pattern comes @instead_of(operation,"
                " places), and below that the function"
            )
        identifier = move.version.__name__.replace("_", "-")
        sentence = " ".join((move.version.__doc__ or "").split())
        if not sentence or not source.strip():
            raise InternalError(f"pattern {identifier}: it needs a docstring and a source")
        if identifier in _PATTERNS:
            raise InternalError(f"pattern {identifier}: declared twice")
        if len(shows) < FEWEST_EXAMPLES or len(silent) < FEWEST_EXAMPLES:
            raise InternalError(f"pattern {identifier}: {FEWEST_EXAMPLES} examples of each kind")
        declared = Pattern(
            identifier,
            move.version.__module__.rpartition(".")[2].replace("_", " "),
            source,
            sentence,
            tuple(_example(identifier, line) for line in shows),
            tuple(_example(identifier, line) for line in silent),
            general,
            [_checked(identifier, move)],
        )
        _PATTERNS[identifier] = declared
        return declared

    return declare


def _checked(identifier: str, move: Instead) -> Instead:
    """Return a move that takes as many arguments as the operation that it stands in for, or any.

    Raises:
        InternalError: it does not, or names none, or what is no place; the types of the arguments
            are left to the type checker.
    """
    if isinstance(move.operation, Place) or not all(isinstance(one, Place) for one in move.places):
        raise InternalError(
            f"pattern {identifier}: instead_of takes an operation, then members of Place"
        )
    code = inspect.unwrap(move.version).__code__
    wanted, taken = inspect.unwrap(move.operation).__code__.co_argcount, code.co_argcount
    if wanted != taken and not code.co_flags & inspect.CO_VARARGS:
        raise InternalError(
            f"pattern {identifier}: {move.version.__name__} takes {taken} arguments, but"
            f" {move.operation.__name__} takes {wanted}"
        )
    return move


def _example(identifier: str, line: str) -> Example:
    parts = [part.strip() for part in line.split(" | ")]
    if len(parts) != 3:
        raise InternalError(f"pattern {identifier}: {line!r} is not `task | problem | answer`")
    return Example(*parts)


def moves_of(patterns: Iterator[Pattern]) -> dict[tuple[Operation, str], list[Move]]:
    """Index the moves of patterns by operation and place; place "" stands for everywhere."""
    index: dict[tuple[Operation, str], list[Move]] = {}
    for declared in patterns:
        for operation, places, version, late in declared.moves:
            fault = Fault(declared.id, declared.says(version))
            for place in places or ("",):
                index.setdefault((operation, place), []).append(Move(fault, version, late))
    return index
