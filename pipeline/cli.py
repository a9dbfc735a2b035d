"""The command line: the only place that prints and exits.

Heavy libraries are imported inside the command that needs them, so that `explain` starts at once.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import Any

from pipeline import __version__
from pipeline.errors import ExitCode, LostrootError, UsageError

__all__ = ["main"]

Handler = Callable[[argparse.Namespace], ExitCode]


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command.

    Args:
        arguments: the words after the program's name; None takes those of the process.

    Returns:
        An exit status, see `pipeline.errors.ExitCode`.
    """
    _speak_utf8()
    options = _parser().parse_args(arguments)
    handler: Handler = options.handler
    try:
        return int(handler(options))
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
        _complain(f"{error.filename or options.command}: {error.strerror or error}")
        return int(ExitCode.BAD_INPUT)
    except Exception as error:
        _complain(
            f"internal error ({type(error).__name__}) in {options.command}; the last good state "
            "is kept. Please report the command and the version; no answer or name is needed."
        )
        return int(ExitCode.INTERNAL)


# ---------------------------------------------------------------------------------- commands


def _explain(options: argparse.Namespace) -> ExitCode:
    from pipeline import explain

    if options.jsonl:
        for line in explain.stream(sys.stdin):
            print(line, flush=False)
        return ExitCode.DONE
    request = {name: getattr(options, name) for name in explain.FIELDS if getattr(options, name)}
    request.setdefault("task", "solve")
    if "problem" not in request and request["task"] not in explain.WITHOUT_PROBLEM:
        request["problem"] = _ask("problem, for example x^2 + 10x = 11: ")
    if options.answer is None:
        request["answer"] = _ask("answer as typed, for example -1, -9: ")
    else:
        request["answer"] = options.answer
    if options.json:
        print(json.dumps(explain.record(request), ensure_ascii=False))
    else:
        _say(explain.words(request))
    return ExitCode.DONE


def _patterns(options: argparse.Namespace) -> ExitCode:
    from pipeline import explain

    _say(explain.one_pattern(options.id) if options.id else explain.all_patterns())
    return ExitCode.DONE


def _new(options: argparse.Namespace) -> ExitCode:
    from pipeline.course import new_course

    new_course(options.dir)
    _say(
        [
            f"{options.dir} is ready:",
            "  items.xlsx       write the questions here, one a row",
            "  exports/         put the answer exports here",
            "  course.toml      everything else; each line says what it is for",
            "  pseudonym.key    keep a copy in a safe place, apart from the answers",
            f"then: lostroot check {options.dir}",
        ]
    )
    return ExitCode.DONE


def _check(options: argparse.Namespace) -> ExitCode:
    from pipeline.check import check_course

    report = check_course(options.dir, write=options.write)
    _say(report.lines())
    return report.exit_code


def _run(options: argparse.Namespace) -> ExitCode:
    return _run_folder(options.dir)


def _run_folder(folder: Path, expected_rejections: int | None = None) -> ExitCode:
    import reports
    from pipeline.run import run_course
    from pipeline.warehouse import reading

    with _Progress() as progress:
        summary = run_course(folder, progress=progress)
        progress("writing the pages")
        with reading(folder / "course.duckdb") as warehouse:
            written = reports.write(folder, warehouse)
    _say(summary.lines())
    start = next(path for path in written if path.name == "index.html")
    _say(["", f"pages: {start}"])
    if expected_rejections is not None and summary.rejected == expected_rejections:
        return ExitCode.DONE
    return summary.exit_code


def _demo(options: argparse.Namespace) -> ExitCode:
    from synthetic_data import write_course

    if (options.dir / "items.xlsx").exists():
        _say([f"{options.dir} is there already; running it again"])
        planted = None
    else:
        with _Progress() as progress:
            progress("writing an invented course")
            planted = write_course(options.dir).rows_to_reject
    return _run_folder(options.dir, planted)


def _synth(options: argparse.Namespace) -> ExitCode:
    from synthetic_data import synth

    with _Progress() as progress:
        progress("writing answers")
        synth(options.dir, students=options.students, items=options.items, answers=options.answers)
    _say([f"{options.dir}: {options.answers} answers, truth in {options.dir / 'truth'}"])
    return ExitCode.DONE


# -------------------------------------------------------------------------------- declarations


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="lostroot",
        description="Finds the wrong rule behind wrong algebra answers.",
        epilog="Each command explains itself: lostroot COMMAND --help",
    )
    parser.add_argument("--version", action="version", version=f"lostroot {__version__}")
    commands = parser.add_subparsers(dest="command", required=True, metavar="COMMAND")

    def declare(name: str, does: str, example: str, handler: Handler) -> argparse.ArgumentParser:
        command = commands.add_parser(
            name,
            help=does,
            description=f"{does[0].upper()}{does[1:]}.",
            epilog=f"example: {example}",
        )
        command.set_defaults(handler=handler)
        return command

    demo = declare(
        "demo",
        "write an invented course, run it, say where its pages are",
        "lostroot demo demo-course",
        _demo,
    )
    demo.add_argument("dir", metavar="DIR", type=Path, nargs="?", default=Path("demo-course"))
    new = declare(
        "new",
        "make an empty course folder with commented files and a fresh key",
        "lostroot new algebra-fall",
        _new,
    )
    new.add_argument("dir", metavar="DIR", type=Path)
    check = declare(
        "check",
        "say what a course folder's files were taken for and what is wrong in them",
        "lostroot check algebra-fall --write",
        _check,
    )
    check.add_argument("dir", metavar="DIR", type=Path)
    check.add_argument("--write", action="store_true", help="keep the column map that it proposes")
    run = declare(
        "run", "read what is new, tag it, and write the pages", "lostroot run algebra-fall", _run
    )
    run.add_argument("dir", metavar="DIR", type=Path)
    _declare_explain(declare)
    patterns = declare(
        "patterns",
        "list the error patterns, or show one with its source and a worked example",
        "lostroot patterns half-not-squared",
        _patterns,
    )
    patterns.add_argument("id", metavar="ID", nargs="?")
    synth = declare(
        "synth",
        "for developers: write a course of any size with known truth",
        "lostroot synth big --students 5000 --items 400 --answers 1000000",
        _synth,
    )
    synth.add_argument("dir", metavar="DIR", type=Path)
    synth.add_argument("--students", type=int, default=300, help="default 300")
    synth.add_argument("--items", type=int, default=80, help="default 80")
    synth.add_argument("--answers", type=int, default=20_000, help="default 20000")
    return parser


def _declare_explain(declare: Callable[..., argparse.ArgumentParser]) -> None:
    explain = declare(
        "explain",
        "say of one typed answer how it was read and which wrong rules lead to it",
        "lostroot explain --task solve --problem 'x^2 + 10x = 11' --answer '-1, -9'",
        _explain,
    )
    explain.add_argument("--task", help="solve (the default), square-constant, ...")
    explain.add_argument("--problem", help="the question; asked for when left out")
    explain.add_argument("--answer", help="what was typed; asked for when left out")
    explain.add_argument("--work", help="lines of working, separated by ' | '")
    explain.add_argument("--key", help="the right answer; computed when left out")
    explain.add_argument("--numbers", choices=("real", "complex"), help="default: real")
    explain.add_argument("--form", help="for example exact, simplified, factored, decimal:2")
    explain.add_argument("--method", help="the procedure that the course taught")
    shape = explain.add_mutually_exclusive_group()
    shape.add_argument("--json", action="store_true", help="one JSON object")
    shape.add_argument("--jsonl", action="store_true", help="JSON lines in, JSON lines out")


# ---------------------------------------------------------------------------------- the terminal


class _Progress:
    """One line on a terminal's error stream that says what is going on; elsewhere nothing."""

    def __init__(self) -> None:
        self._shown = sys.stderr.isatty()

    def __enter__(self) -> _Progress:
        return self

    def __exit__(self, *_: object) -> None:
        if self._shown:
            print("\r\x1b[2K", end="", file=sys.stderr, flush=True)

    def __call__(self, doing: str, done: float | None = None) -> None:
        if self._shown:
            bar = "" if done is None else f" [{'#' * int(20 * done):<20}] {done:4.0%}"
            print(f"\r\x1b[2K{doing}{bar}", end="", file=sys.stderr, flush=True)


def _say(lines: Iterable[str]) -> None:
    for line in lines:
        print(line)


def _complain(text: str) -> None:
    print(f"lostroot: {text}", file=sys.stderr)


def _ask(prompt: str) -> str:
    try:
        return input(prompt)
    except EOFError:
        raise UsageError("no more input; give --problem and --answer on the command line") from None


def _speak_utf8() -> None:
    for stream in (sys.stdin, sys.stdout, sys.stderr):
        reconfigure: Any = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(encoding="utf-8", errors="backslashreplace")


if __name__ == "__main__":
    sys.exit(main())
