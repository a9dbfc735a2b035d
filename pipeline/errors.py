"""Everything that can go wrong, as one tree, and the exit codes that it ends in.

LostrootError
├── UsageError              wrong use of a command               exit 2
│   └── CourseError         a course folder that cannot be used  exit 2
│       └── ListErrors      a list of questions with cells to mend
├── InputError              an input file that cannot be read    exit 3
│   └── UnknownForm         an export that no map fits yet       exit 1
├── UnreadableProblem       a problem text outside the grammar
├── CannotBeWorked          no procedure works it, or goes on from where it stands
│   └── BudgetExceeded      a named budget of the exact algebra or of the reader
└── InternalError           a promise of our own that was broken exit 4
"""

from __future__ import annotations

from collections.abc import Iterable
from enum import IntEnum


class ExitCode(IntEnum):
    """What a command's exit status means."""

    DONE = 0
    NEEDS_A_LOOK = 1
    WRONG_USE = 2
    BAD_INPUT = 3
    INTERNAL = 4


class LostrootError(Exception):
    """Base of every error that is ours; its text is written for the person at the keyboard."""

    exit_code = ExitCode.INTERNAL


class UsageError(LostrootError):
    """A command was used in a way that it does not offer."""

    exit_code = ExitCode.WRONG_USE


class CourseError(UsageError):
    """A course folder, its items file or its settings cannot be used."""


class ListErrors(CourseError):
    """A list of questions in which cells have to be mended.

    Args:
        each: a sentence a cell, in the order of the file.
    """

    def __init__(self, each: Iterable[str]) -> None:
        self.each = tuple(each)
        super().__init__("\n".join(self.each))


class InputError(LostrootError):
    """An export or another input file cannot be read."""

    exit_code = ExitCode.BAD_INPUT


class UnknownForm(InputError):
    """An export whose columns neither a map nor the standard names fit: it waits for a map."""

    exit_code = ExitCode.NEEDS_A_LOOK


class UnknownEncoding(InputError):
    """A text that is neither UTF-8 nor UTF-16.

    Args:
        text: what is to be said of it.
        shown: the one encoding that its letters show, for a person to confirm; None for none.
    """

    def __init__(self, text: str, shown: str | None) -> None:
        self.shown = shown
        super().__init__(text)


class UnreadableProblem(LostrootError):
    """A problem text lies outside the grammar; the text says where and why."""

    exit_code = ExitCode.WRONG_USE


class CannotBeWorked(LostrootError):
    """A problem of another shape, or a place from which a procedure cannot go on."""


class BudgetExceeded(CannotBeWorked):
    """A computation would pass a named budget; its caller falls back or refuses."""


class InternalError(LostrootError):
    """A promise of our own was broken; please report the text."""
