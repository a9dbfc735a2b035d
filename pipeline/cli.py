"""The command line: the only place that prints and exits.

Heavy libraries are imported inside the command that needs them, so that `explain` starts at once.
"""

from __future__ import annotations

import argparse
import getpass
import json
import sys
from collections.abc import Iterable, Sequence
from contextlib import AbstractContextManager
from pathlib import Path
from typing import Any

from pipeline.cli_declarations import Handler, parser
from pipeline.errors import ExitCode, LostrootError, UsageError
from pipeline.records import OwnPattern
from pipeline.storage import of_disk

__all__ = ["main"]


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command.

    Args:
        arguments: the words after the program's name; None takes those of the process.

    Returns:
        An exit status, see `pipeline.errors.ExitCode`.
    """
    _speak_utf8()
    options = parser(_handlers()).parse_args(arguments)
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
        about = str(error.filename or options.command)
        _complain(of_disk(error, about) or f"{about}: {error.strerror or error}")
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

    own = _patterns_of(Path())
    _say(explain.one_pattern(options.id, own) if options.id else explain.all_patterns(own))
    return ExitCode.DONE


def _patterns_of(folder: Path) -> tuple[OwnPattern, ...]:
    """Own patterns of a course folder; none elsewhere, and none where they have to be mended."""
    if not any((folder / name).exists() for name in ("course.toml", "course.xlsx")):
        return ()
    from pipeline.course import own_patterns

    try:
        return own_patterns(folder)
    except LostrootError as error:
        _complain(f"the patterns of this course are left out: {error}")
        return ()


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
    _say(report.lines(options.whole))
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
        with _undisturbed(folder, progress), reading(folder / "course.duckdb") as warehouse:
            own = reports.write(folder, warehouse)
            shared = reports.write(folder, warehouse, edition="shared")
    _say(summary.lines())
    _say(["", f"pages: {_start(own)}", f"pages for everyone: {_start(shared)}"])
    if expected_rejections is not None and summary.rejected == expected_rejections:
        _say([f"The {expected_rejections} rows to look at are those that were planted."])
        return ExitCode.DONE
    return summary.exit_code


def _undisturbed(folder: Path, progress: _Progress) -> AbstractContextManager[None]:
    """Keep other runs out while pages are written."""
    from pipeline.run.conduct import LOCK
    from pipeline.run.lock import held

    return held(folder / LOCK, lambda: progress("waiting for another run to end"))


def _start(written: Iterable[Path]) -> Path:
    return next(path for path in written if path.name == "index.html")


def _demo(options: argparse.Namespace) -> ExitCode:
    from synthetic_data import write_course

    if (options.dir / "items.xlsx").exists():
        _say([f"{options.dir} is there already; running it again"])
        planted = None
    else:
        with _Progress() as progress:
            progress("writing an invented course")
            planted = write_course(options.dir).broken
    return _run_folder(options.dir, planted)


def _show(options: argparse.Namespace) -> ExitCode:
    from pipeline.student import show_student

    path = show_student(options.dir, _ask_student())
    _say(
        [
            f"{path}",
            "It holds one student's answers: only you may read the file. Pass it on as your "
            "institution's policy and local law allow, and delete it when it has served.",
        ]
    )
    return ExitCode.DONE


def _forget(options: argparse.Namespace) -> ExitCode:
    import reports
    from pipeline.student import BEFORE_FORGETTING, forget_student, prove_gone
    from pipeline.warehouse import reading

    _say(BEFORE_FORGETTING)
    student = _ask_student()
    if _ask_student("the same id again, to confirm: ") != student:
        raise UsageError("the two ids differ; nothing was erased")
    with _Progress() as progress:
        forgotten = forget_student(options.dir, student, progress)
        progress("writing the pages without these answers")
        database = options.dir / "course.duckdb"
        with _undisturbed(options.dir, progress), reading(database) as warehouse:
            reports.write(options.dir, warehouse)
            reports.write(options.dir, warehouse, edition="shared")
        progress("searching what is left")
        proof = prove_gone(options.dir, forgotten)
    _say(forgotten.lines())
    _say(proof.lines())
    return proof.exit_code


def _tag(options: argparse.Namespace) -> ExitCode:
    from pipeline.run.tag import tag_course

    with _Progress() as progress:
        report = tag_course(options.dir, progress)
    _say(report.lines())
    return ExitCode.DONE


def _synth(options: argparse.Namespace) -> ExitCode:
    from synthetic_data import synth

    with _Progress() as progress:
        progress("writing answers")
        synth(options.dir, students=options.students, items=options.items, answers=options.answers)
    _say([f"{options.dir}: {options.answers} answers, truth in {options.dir / 'truth'}"])
    return ExitCode.DONE


def _handlers() -> dict[str, Handler]:
    """What each declared command does."""
    return {
        "demo": _demo,
        "new": _new,
        "check": _check,
        "run": _run,
        "explain": _explain,
        "patterns": _patterns,
        "tag": _tag,
        "show": _show,
        "forget": _forget,
        "synth": _synth,
    }


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


def _ask_student(prompt: str = "student's id (it is not shown while you type): ") -> str:
    """Ask for an id out of sight; never taken from the command line, which others can read."""
    try:
        text = getpass.getpass(prompt) if sys.stdin.isatty() else sys.stdin.readline()
    except EOFError:
        text = ""
    if not text.strip():
        raise UsageError("no id was given: type it when asked, or give it on standard input")
    return text.strip()


def _speak_utf8() -> None:
    for stream in (sys.stdin, sys.stdout, sys.stderr):
        reconfigure: Any = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(encoding="utf-8", errors="backslashreplace")


if __name__ == "__main__":
    sys.exit(main())
