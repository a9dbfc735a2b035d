"""The command line: the only place that prints and exits."""

from __future__ import annotations

import gc
import getpass
import sys
from collections.abc import Sequence
from typing import Any

from pipeline.cli_commands import COMMANDS, Said
from pipeline.cli_declarations import options_of
from pipeline.errors import ExitCode, LostrootError, UsageError
from pipeline.storage import of_disk

_GARBAGE = 1_000_000
"""New objects after which circles of dead ones are looked for: libraries alone are a million, and
to look through them each time is a twentieth of a run's CPU."""
_WITH_TIME_LEFT = "{desc} {bar:20} {percentage:3.0f} %, {remaining} left"


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command.

    Args:
        arguments: the words after the program's name; None takes those of the process.

    Returns:
        An exit status, see `pipeline.errors.ExitCode`.
    """
    gc.set_threshold(_GARBAGE)
    _speak_utf8()
    options = options_of(sys.argv[1:] if arguments is None else arguments)
    try:
        return int(_said(COMMANDS[options.command](options, _Terminal())))
    except LostrootError as error:
        _complain(str(error))
        return int(error.exit_code)
    except KeyboardInterrupt:
        _complain("stopped; what was there before is as it was")
        return int(ExitCode.INTERNAL)
    except BrokenPipeError:
        sys.stderr.close()  # whoever read our output has left: nobody is there to be told
        return int(ExitCode.DONE)
    except OSError as error:
        about = str(error.filename or options.command)
        _complain(of_disk(error, about) or f"{about}: {error.strerror or error}")
        return int(ExitCode.BAD_INPUT)
    except Exception as error:
        _complain(
            f"internal error ({type(error).__name__}) in {options.command}; the last good state "
            "is kept. Please report the command and the version; no answer or name is needed."
        )
        return int(ExitCode.INTERNAL)


class _Progress:
    """One line on a terminal's error stream that says what is going on; elsewhere nothing."""

    def __init__(self) -> None:
        from tqdm import tqdm  # which `explain` has no need of

        self._line = tqdm(
            total=1.0, leave=False, bar_format="{desc}", disable=not sys.stderr.isatty()
        )

    def __enter__(self) -> _Progress:
        return self

    def __exit__(self, *_: object) -> None:
        self._line.close()

    def __call__(self, doing: str, done: float | None = None) -> None:
        self._line.bar_format = "{desc}" if done is None else _WITH_TIME_LEFT
        if not done:  # the time left is reckoned from here on
            self._line.reset()
        self._line.set_description_str(doing, refresh=False)
        self._line.n = done or 0.0
        self._line.refresh()


class _Terminal:
    """The person at the keyboard."""

    def progress(self) -> _Progress:
        return _Progress()

    def is_watched(self) -> bool:
        return sys.stdout.isatty()

    def is_answered(self) -> bool:
        return sys.stdin.isatty()

    def complain(self, text: str) -> None:
        _complain(text)

    def ask(self, prompt: str) -> str:
        try:
            return input(prompt)
        except EOFError:
            raise UsageError(
                "no more input, nothing was done; `--help` names what the command line takes"
            ) from None

    def ask_student(self, prompt: str = "student's id (it is not shown while you type): ") -> str:
        """Ask for an id out of sight; never on the command line, which others can read."""
        try:
            text = getpass.getpass(prompt) if sys.stdin.isatty() else sys.stdin.readline()
        except EOFError:
            text = ""
        if not text.strip():
            raise UsageError("no id was given: type it when asked, or give it on standard input")
        return text.strip()

    def same_student(self, student: str) -> bool:
        if sys.stdin.isatty():
            return self.ask_student("the same id again, to confirm: ") == student
        return sys.stdin.readline().strip() in ("", student)


def _said(lines: Said) -> ExitCode:
    """Print what a command says, line by line, and return its exit code."""
    while True:
        try:
            print(next(lines))
        except StopIteration as end:
            return ExitCode(end.value)


def _complain(text: str) -> None:
    print(f"lostroot: {text}", file=sys.stderr)


def _speak_utf8() -> None:
    for stream in (sys.stdin, sys.stdout, sys.stderr):
        reconfigure: Any = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(encoding="utf-8", errors="backslashreplace")


if __name__ == "__main__":
    sys.exit(main())
