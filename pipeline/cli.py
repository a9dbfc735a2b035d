"""The command line: the only place that prints and exits."""

from __future__ import annotations

import argparse
import gc
import getpass
import re
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any, Final

from pipeline import __version__
from pipeline.cli_commands import COMMANDS, Said
from pipeline.errors import ExitCode, LostrootError, UsageError
from pipeline.storage import of_disk
from pipeline.tasks.catalogue import NAMES

_DIR: Final = ("dir", {"metavar": "DIR", "type": Path})
_OPTIONS: Final[Mapping[str, tuple[str, str, tuple[tuple[str, Mapping[str, Any]], ...]]]] = {
    "demo": (
        "write an invented course, run it, say where its pages are",
        "lostroot demo demo-course",
        ((_DIR[0], {**_DIR[1], "nargs": "?", "default": Path("demo-course")}),),
    ),
    "new": (
        "make an empty course folder with commented files and a fresh key",
        "lostroot new algebra-fall",
        (
            _DIR,
            ("--from", {"dest": "old", "metavar": "OLD", "type": Path, "help": "begin the next "
                        "semester with the questions, topics, outcomes, column maps and key of "
                        "another course folder"}),
        ),
    ),
    "check": (
        "say what a course folder's files were taken for and what is wrong in them",
        "lostroot check algebra-fall --write",
        (
            _DIR,
            ("--write", {"action": "store_true", "help": "keep the column maps that it proposes, "
                         "draft missing questions, and show computed answers in the list"}),
        ),
    ),
    "run": ("read what is new, tag it, and write the pages", "lostroot run algebra-fall", (_DIR,)),
    "explain": (
        "say of one typed answer how it was read and which wrong rules lead to it",
        "lostroot explain --task solve --problem 'x^2 + 10x = 11' --answer '-1, -9'",
        (
            ("--task", {"help": f"solve when left out; one of {', '.join(NAMES)}"}),
            ("--problem", {"help": "the question; asked for when left out"}),
            ("--answer", {"help": "what was typed; asked for when left out"}),
            ("--work", {"help": "lines of working, separated by ' | '"}),
            ("--key", {"help": "the right answer; computed when left out"}),
            ("--numbers", {"choices": ("real", "complex"), "help": "default: real"}),
            ("--form", {"help": "for example exact, simplified, factored, decimal:2"}),
            ("--method", {"help": "the procedure that the course taught"}),
        ),
    ),
    "patterns": (
        "list the error patterns, or show one with its source and a worked example",
        "lostroot patterns half-not-squared",
        (("id", {"metavar": "ID", "nargs": "?"}),),
    ),
    "tag": (
        "write the most frequent doubtful answers on a sheet for a person to tag, take the tags "
        "back, report agreement",
        "lostroot tag algebra-fall",
        (_DIR,),
    ),
    "show": (
        "ask for a student's id and write one page: each answer, how it was read and judged",
        "lostroot show algebra-fall",
        (_DIR,),
    ),
    "forget": (
        "ask for a student's id, erase the student everywhere, and prove it",
        "lostroot forget algebra-fall",
        (_DIR,),
    ),
    "synth": (
        "for developers: write a course of any size with known truth",
        "lostroot synth big --students 5000 --items 400 --answers 1000000",
        (_DIR, *((f"--{name}", {"type": int, "default": number, "help": f"default {number}"})
                 for name, number in (("students", 300), ("items", 80), ("answers", 20_000)))),
    ),
}  # fmt: skip
"""Command -> what it does, an example, and its options as argparse takes them."""


def parser() -> argparse.ArgumentParser:
    """Declare every command; the parsed options have its name as `command`."""
    whole = argparse.ArgumentParser(
        prog="lostroot",
        description="Finds the wrong rule behind wrong algebra answers.",
        epilog="Each command explains itself: lostroot COMMAND --help",
    )
    whole.add_argument("--version", action="version", version=f"lostroot {__version__}")
    commands = whole.add_subparsers(dest="command", required=True, metavar="COMMAND")
    for name, (does, example, options) in _OPTIONS.items():
        told = f"{does[0].upper()}{does[1:]}."
        one = commands.add_parser(name, help=does, description=told, epilog=f"example: {example}")
        for flag, said in options:
            one.add_argument(flag, **said)
        if name == "explain":
            shape = one.add_mutually_exclusive_group()
            shape.add_argument("--json", action="store_true", help="one JSON object")
            shape.add_argument("--jsonl", action="store_true", help="JSON lines in, JSON lines out")
    return whole


_TEXTS: Final = ("--task", "--problem", "--answer", "--work", "--key", "--form", "--method")
"""Options of `explain` whose value is any text, a minus sign in front included."""


def options_of(arguments: Sequence[str]) -> argparse.Namespace:
    """The options of a command.

    Args:
        arguments: the words after the program's name.
    """
    options = parser().parse_args(_with_values_joined(arguments))
    # argparse before Python 3.13 takes the value `--` out, and leaves a list without anything.
    vars(options).update({name: "--" for name, value in vars(options).items() if value == []})
    return options


def _with_values_joined(arguments: Sequence[str]) -> list[str]:
    """Join `--answer` and `-2,-4` to `--answer=-2,-4`, since the latter is no option."""
    if not arguments or arguments[0] != "explain":
        return list(arguments)
    joined: list[str] = []
    for word in arguments:
        if joined and joined[-1] in _TEXTS and word.startswith("-") and not _is_option(word):
            joined[-1] = f"{joined[-1]}={word}"
        else:
            joined.append(word)
    return joined


def _is_option(word: str) -> bool:
    return re.fullmatch(r"--[a-z]+(?:=.*)?|-h", word, re.DOTALL) is not None


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
