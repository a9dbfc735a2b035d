"""What each command does: it yields the lines to say and ends with an exit code.

Nothing is printed here. Heavy libraries are imported inside the command that needs them, so that
`explain` starts at once.
"""

from __future__ import annotations

import json
import re
import sys
from argparse import Namespace
from collections.abc import Callable, Generator, Iterable, Mapping, Sequence
from contextlib import AbstractContextManager
from pathlib import Path
from typing import TYPE_CHECKING, Final, Protocol, TypeVar

from pipeline.errors import CourseError, ExitCode, LostrootError, UsageError
from pipeline.records import OwnPattern

if TYPE_CHECKING:
    from pipeline.course import Term

_T = TypeVar("_T")
Said = Generator[str, None, ExitCode]
"""The lines of a command, as they come, and its exit code."""


class Progress(Protocol):
    """Says what is going on, while its context lasts."""

    def __enter__(self) -> Progress: ...

    def __exit__(self, *_: object) -> None: ...

    def __call__(self, doing: str, done: float | None = None) -> None:
        """Say what is being done, and which share of it is done, 0 to 1."""


class Terminal(Protocol):
    """The person at the keyboard."""

    def progress(self) -> Progress:
        """A line that says what is going on."""

    def is_watched(self) -> bool:
        """Whether what is printed fills a screen, and goes into no file."""

    def complain(self, text: str) -> None:
        """Say what went wrong, apart from what is asked for."""

    def is_answered(self) -> bool:
        """Whether somebody is there to answer a question."""

    def ask(self, prompt: str) -> str:
        """Ask for a line."""

    def ask_student(self, prompt: str = ...) -> str:
        """Ask for a student's id, out of sight."""

    def same_student(self, student: str) -> bool:
        """Whether the same id is given again; one that comes through a pipe is given once."""


Command = Callable[[Namespace, Terminal], Said]
"""Does one command with its options."""


def _explain(options: Namespace, terminal: Terminal) -> Said:
    from pipeline import explain

    if options.jsonl:
        yield from explain.stream(sys.stdin)
        return ExitCode.DONE
    request = {name: getattr(options, name) for name in explain.FIELDS if getattr(options, name)}
    request.setdefault("task", "solve")
    if "problem" not in request and request["task"] not in explain.WITHOUT_PROBLEM:
        request["problem"] = terminal.ask("problem, for example x^2 + 10x = 11: ")
    if options.answer is None:
        request["answer"] = terminal.ask("answer as typed, for example -1, -9: ")
    else:
        request["answer"] = options.answer
    if options.json:
        yield json.dumps(explain.record(request), ensure_ascii=False)
    else:
        yield from explain.words(request)
    return ExitCode.DONE


def _patterns(options: Namespace, terminal: Terminal) -> Said:
    from pipeline import explain

    own = _patterns_of(Path(), terminal)
    yield from explain.one_pattern(options.id, own) if options.id else explain.all_patterns(own)
    return ExitCode.DONE


def _patterns_of(folder: Path, terminal: Terminal) -> tuple[OwnPattern, ...]:
    """Own patterns of a course folder; none elsewhere, and none where they have to be mended."""
    if not any((folder / name).exists() for name in ("course.toml", "course.xlsx")):
        return ()
    from pipeline.course import own_patterns

    try:
        return own_patterns(folder)
    except LostrootError as error:
        terminal.complain(f"the patterns of this course are left out: {error}")
        return ()


def _new(options: Namespace, terminal: Terminal) -> Said:
    from pipeline.course import new_course, next_term

    if options.old is not None:
        term = next_term(options.dir, options.old, lambda: _asked_term(terminal))
        yield f"{options.dir} goes on with the questions, settings and key of {options.old}"
        if term is None:
            yield "  write the semester's dates into [[terms]], at the end of the settings"
        yield "  leave questions unchanged that are to be compared with those of last semester"
        yield "  to compare on one page, copy last semester's exports and its [[terms]] as well"
        yield f"then: lostroot check {options.dir}"
        return ExitCode.DONE
    new_course(options.dir)
    yield f"{options.dir} is ready:"
    yield "  questions/       put a worksheet here (.docx, .txt, QTI), and `check --write` drafts"
    yield "  items.xlsx       from it, one question a row; or write them yourself"
    yield "  exports/         put the answer exports here"
    yield "  course.toml      everything else; each line says what it is for"
    yield "  pseudonym.key    keep a copy in a safe place, apart from the answers"
    yield f"then: lostroot check {options.dir} --write"
    return ExitCode.DONE


def _asked_term(terminal: Terminal) -> Term | None:
    """The semester that begins, asked for where somebody is there to answer."""
    from pipeline.course import Term
    from pipeline.course.settings import parse_date

    if not terminal.is_answered():
        return None
    name = terminal.ask("the semester's short name, such as 2026-fall (empty: later): ").strip()
    if not name:
        return None
    day = _asked(terminal, "its first day, year first, such as 2026-08-24", parse_date)
    weeks = _asked(terminal, "its teaching weeks, 1 to 53, such as 15", _weeks)
    return Term(name, name, day, weeks)


def _asked(terminal: Terminal, what: str, read: Callable[[str], _T | None]) -> _T:
    """Ask until the answer can be read, three times at most."""
    for again in ("", "not understood; ", "not understood; "):
        found = read(terminal.ask(f"{again}{what}: ").strip())
        if found is not None:
            return found
    raise UsageError(f"expected {what}; nothing was made")


def _weeks(text: str) -> int | None:
    return int(text) if re.fullmatch(r"\d{1,2}", text) and 1 <= int(text) <= 53 else None


def _check(options: Namespace, terminal: Terminal) -> Said:
    from pipeline.check import check_course

    report = check_course(options.dir, write=options.write)
    yield from report.lines(whole=not terminal.is_watched())
    return report.exit_code


def _run(options: Namespace, terminal: Terminal) -> Said:
    return (yield from _run_folder(options.dir, terminal))


def _run_folder(folder: Path, terminal: Terminal, expected: int | None = None) -> Said:
    import reports
    from pipeline.run import run_course
    from pipeline.run.tag import named_on_sheet
    from pipeline.warehouse import reading

    fault, report = "", None
    with terminal.progress() as progress:
        try:
            report = named_on_sheet(folder, progress)
        except CourseError as error:
            fault = str(error)
        summary = report.run if report else run_course(folder, progress=progress)
        progress("writing the pages")
        with _undisturbed(folder, progress), reading(folder / "course.duckdb") as warehouse:
            own = reports.write(folder, warehouse)
            shared = reports.write(folder, warehouse, edition="shared")
    yield from summary.lines()
    yield from report.named if report else ()
    yield from (fault,) if fault else ()
    yield ""
    yield f"pages: {_start(own)}"
    yield f"pages for everyone: {_start(shared)}"
    if expected is not None and summary.rejected == expected:
        yield f"The {expected} rows to look at are those that were planted."
        return ExitCode.DONE
    return ExitCode.NEEDS_A_LOOK if fault else summary.exit_code


def _undisturbed(folder: Path, progress: Progress) -> AbstractContextManager[None]:
    """Keep other runs out while pages are written."""
    from pipeline.run.conduct import LOCK, held

    return held(folder / LOCK, lambda: progress("waiting for another run to end"))


def _start(written: Iterable[Path]) -> Path:
    return next(path for path in written if path.name == "index.html")


def _demo(options: Namespace, terminal: Terminal) -> Said:
    from synthetic_data import write_course

    if (options.dir / "items.xlsx").exists():
        yield f"{options.dir} is there already; running it again"
        planted = None
    else:
        with terminal.progress() as progress:
            progress("writing an invented course")
            planted = write_course(options.dir, unnamed=True).broken
    return (yield from _run_folder(options.dir, terminal, planted))


def _show(options: Namespace, terminal: Terminal) -> Said:
    from pipeline.student import show_student

    yield str(show_student(options.dir, terminal.ask_student()))
    yield (
        "It holds one student's answers: only you may read the file. Pass it on as your "
        "institution's policy and local law allow, and delete it when it has served."
    )
    return ExitCode.DONE


def _forget(options: Namespace, terminal: Terminal) -> Said:
    import reports
    from pipeline.run.tag import write_sheet_anew
    from pipeline.student import BEFORE_FORGETTING, forget_student, prove_gone
    from pipeline.warehouse import reading

    yield from BEFORE_FORGETTING
    student = terminal.ask_student()
    if not terminal.same_student(student):
        raise UsageError("the two ids differ; nothing was erased")
    with terminal.progress() as progress:
        forgotten = forget_student(options.dir, student, progress)
        sheet = write_sheet_anew(options.dir)
        progress("writing the pages without these answers")
        database = options.dir / "course.duckdb"
        with _undisturbed(options.dir, progress), reading(database) as warehouse:
            withdrawn = reports.withdraw_shared(options.dir / "reports", warehouse)
            reports.write(options.dir, warehouse)
            reports.write(options.dir, warehouse, edition="shared")
        progress("searching what is left")
        proof = prove_gone(options.dir, forgotten)
    yield from forgotten.lines()
    yield from sheet
    if withdrawn:
        yield (
            f"Withdrawn: {_editions_for_everyone(withdrawn)}; one without these answers was "
            "written. What was handed out of them cannot be called back: its counts were changed, "
            "so that the student is one of many"
        )
    yield from proof.lines()
    return proof.exit_code


def _editions_for_everyone(names: Sequence[str]) -> str:
    if len(names) == 1:
        return f"the kept edition for everyone, {names[0]}"
    return f"{len(names)} kept editions for everyone, {names[0]} to {names[-1]}"


def _tag(options: Namespace, terminal: Terminal) -> Said:
    from pipeline.run.tag import tag_course

    with terminal.progress() as progress:
        report = tag_course(options.dir, progress)
    yield from report.lines()
    return ExitCode.DONE


def _synth(options: Namespace, terminal: Terminal) -> Said:
    from synthetic_data import synth

    with terminal.progress() as progress:
        progress("writing answers")
        synth(options.dir, students=options.students, items=options.items, answers=options.answers)
    yield f"{options.dir}: {options.answers} answers, truth in {options.dir / 'truth'}"
    return ExitCode.DONE


COMMANDS: Final[Mapping[str, Command]] = {
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
"""What each declared command does."""
