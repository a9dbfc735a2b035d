"""A new course folder: commented settings, an items workbook of text cells, a fresh key.

The next semester's begins with the questions, topics, outcomes and key of an earlier one.
"""

from __future__ import annotations

import csv
import io
import os
import shlex
import shutil
import sys
from collections.abc import Callable, Mapping, Sequence
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any

import tomlkit

from pipeline.course.calendar import Term
from pipeline.course.hand_tags import TAGGED
from pipeline.course.item_headers import item_header
from pipeline.course.items import ITEM_COLUMNS, items_file
from pipeline.course.keep_map import as_toml
from pipeline.course.keyfile import write_key
from pipeline.course.read import read_course
from pipeline.course.records import Course
from pipeline.course.standard_files import STANDARDS_FOLDER
from pipeline.errors import CourseError
from pipeline.tables import open_table, plain_text
from pipeline.tasks.catalogue import TASKS

_READY_ROWS = 300
_MADE = ("items.xlsx", "course.toml", "exports", "pseudonym.key", "Run.cmd", "run.sh")
_TAKEN = (*_MADE, "items.csv", "course.xlsx", "course.duckdb")
_WIDTHS = {"item": 14, "topic": 18, "problem": 34, "answer": 24, "options": 30}
_EXPLAINED = {
    "item": ("needed", "quad-03", "the question's name in the answer exports"),
    "topic": ("needed", "quadratics", "a topic of the course"),
    "task": (
        "needed",
        "solve",
        f"{', '.join(TASKS)}; "
        "judge: the key alone decides; choice: one of the options; skip: graph, essay, upload",
    ),
    "problem": (
        "needed",
        "x^2 - 6x + 8 = 0",
        "the question in typed notation; for translate: the words, a colon, the algebra behind "
        "them, as in `three less than a number: x - 3`",
    ),
    "answer": (
        "",
        "2, 4",
        "the key; left empty, it is computed. judge and choice need it, and translate where the "
        "problem holds words alone",
    ),
    "form": (
        "",
        "simplified",
        "any, exact, worked-out, simplified, factored, expanded, reduced, decimal:2, fraction, "
        "decimal, percent, scientific, vertex, interval, slope-intercept, positive-exponents; "
        "a + joins two",
    ),
    "numbers": ("", "real", "real (when left empty) or complex"),
    "outcome": ("", "solve-equations", "an outcome of the course"),
    "options": (
        "",
        "2, 4 | -2, -4 => root-takes-factor-sign",
        "for choice: one a line, or between ` | `; `=> id` names the error that an option shows",
    ),
    "quiz": ("", "Quiz 3", "the quiz that it belongs to"),
    "week": ("", "5", "the teaching week that it is assigned to"),
    "method": ("", "formula", "what was taught: factoring, square-root, complete-square, formula"),
    "from": ("", "2026-08-24", "first date or term of a later version of the same question"),
    "correction": ("", "yes", "yes: this row mends a mistake and re-judges old answers"),
    "asked": (
        "",
        "x + 4",
        "what is to be given, where that is not the unknown itself; sum or product: of the "
        "solutions",
    ),
    "same": ("", "quad-02", "the question that this one asks again with other numbers"),
    "keep": ("", "x > 0", "which solutions count: an inequality, largest or smallest"),
    "follows": ("", "5a", "the earlier part whose answer stands in the problem, as in 2(a) + 1"),
    "wording": ("", "Solve x^2 - 6x + 8 = 0.", "the question as its source words it"),
    "computed": ("", "2 or 4", "written by `check --write`: the right answer as computed"),
    "status": ("", "sure", "written by `check --write`: sure, look or cannot"),
    "why": ("", "", "written by `check --write`: why a person should look"),
}


def new_course(folder: Path) -> tuple[Path, ...]:
    """Make a course folder.

    Args:
        folder: may exist, as long as it holds none of the files to be made.

    Returns:
        What was made, in the order to look at it.

    Raises:
        CourseError: the folder holds a course already, or cannot be written.
    """
    _hold_free(folder)
    try:
        (folder / "exports").mkdir(parents=True)
        (folder / "questions").mkdir(exist_ok=True)
        (folder / "items.xlsx").write_bytes(_items_workbook())
        for name in ("course.toml", "Run.cmd", "run.sh"):
            _write_template(folder / name)
        (folder / "run.sh").chmod(0o755)
        write_key(folder / "pseudonym.key")
    except OSError as error:
        raise CourseError(f"{folder.name}: cannot be written ({error.strerror}).") from error
    return tuple(folder / name for name in _MADE)


def _hold_free(folder: Path) -> None:
    """Stop at a folder that holds a course.

    Raises:
        CourseError: names what is there.
    """
    taken = [name for name in _TAKEN if (folder / name).exists()]
    if taken:
        raise CourseError(
            f"{folder.name}: holds {taken[0]} already; expected an empty or new folder. "
            "Nothing was changed; choose another name."
        )


def _write_template(path: Path) -> None:
    text = files("pipeline.course").joinpath(f"templates/{path.name}").read_text("utf-8")
    command = path.suffix == ".cmd"
    python = sys.executable.replace("%", "%%") if command else shlex.quote(sys.executable)
    text = text.replace("@PYTHON@", python)
    path.write_text(text, encoding="utf-8", newline="\r\n" if command else "\n")


@cache
def _items_workbook() -> bytes:
    """The list of questions to fill in: the same for every course."""
    from openpyxl import Workbook  # slow to import, here and below

    from pipeline.tables.workbook import fill_with_text

    book = Workbook()
    items = book.active
    items.title = "items"
    fill_with_text(items, [ITEM_COLUMNS], [_WIDTHS.get(name, 12) for name in ITEM_COLUMNS])
    for row in items.iter_rows(2, _READY_ROWS, 1, len(ITEM_COLUMNS)):
        for cell in row:
            cell.number_format = "@"  # which leaves 3/4 and -6^2 alone
    items.freeze_panes = "A2"
    rows = [[name, *_EXPLAINED[name]] for name in ITEM_COLUMNS]
    header = ["column", "needed?", "for example", "what it holds"]
    fill_with_text(book.create_sheet("explanation"), [header, *rows], (14, 10, 22, 90))
    stream = io.BytesIO()
    book.save(stream)
    return stream.getvalue()


_DATED = ("terms", "lessons")
_DATED_FACTS = ("term", "date")
_ROSTER = shutil.ignore_patterns("academicSessions.csv", "classes.csv", ".*")
_ERASED = "erased-students.txt"
_PLACEHOLDER = """\
# The dates of this semester: take the `#` off and fill them in.
# [[terms]]
# id = "2026-fall"
# first_day = 2026-08-24
# weeks = 15
# breaks = [["2026-11-25", "2026-11-27"]]
"""


def next_term(folder: Path, old: Path, begins: Callable[[], Term | None]) -> Term | None:
    """Make a course folder that goes on with the questions of another.

    Kept are questions in the version last in force, topics, outcomes, quizzes, error patterns,
    column maps, tags by hand, and all of [privacy]: the pseudonym key too, so that a student has
    the same pseudonym in both folders unless `link_terms` is false, and the list of erased
    students. Left behind are terms, lessons, answers and pages.

    Args:
        folder: to be made.
        old: the course folder to go on from; it is only read.
        begins: gives the semester that begins, asked once both folders are known to be usable;
            None leaves a place for its dates.

    Returns:
        That semester.

    Raises:
        CourseError: the old folder cannot be used, or the new one holds a course already.
    """
    course = read_course(old)
    _hold_free(folder)
    term = begins()
    new_course(folder)
    try:
        (folder / "items.xlsx").unlink()
        _copy_items(course, folder)
        _copy_settings(course, folder, term)
        for name in (TAGGED, _ERASED):
            if (old / name).exists():
                shutil.copy2(old / name, folder / name)
        if (old / STANDARDS_FOLDER).is_dir():
            shutil.copytree(old / STANDARDS_FOLDER, folder / STANDARDS_FOLDER, ignore=_ROSTER)
        _take_key(course, folder)
    except OSError as error:
        raise CourseError(f"{folder.name}: cannot be written ({error.strerror}).") from error
    return term


def _take_key(course: Course, folder: Path) -> None:
    """A key in the old folder is copied; one that lies elsewhere is named by the settings."""
    key = course.privacy.key_file
    (folder / "pseudonym.key").unlink()
    if _inside(key, course.folder):
        target = folder / key.resolve().relative_to(course.folder.resolve())
        target.parent.mkdir(parents=True, exist_ok=True)
        target.touch(mode=0o600)
        target.write_bytes(key.read_bytes())


def _inside(path: Path, folder: Path) -> bool:
    return path.resolve().is_relative_to(folder.resolve())


def _copy_items(course: Course, folder: Path) -> None:
    """Each question in its latest version, in force from the beginning."""
    source = items_file(course.folder)
    if not source.exists():
        return
    rows = {
        line: [plain_text(cell) for cell in cells]
        for line, cells in open_table(source, source.name).rows()
        if isinstance(cells, list)
    }
    outdated, cleared = _outdated(course, rows)
    target = folder / source.name
    if source.suffix == ".csv":
        kept = (cells for line, cells in rows.items() if line not in outdated)
        with target.open("w", encoding="utf-8", newline="") as stream:
            csv.writer(stream).writerows(_without(cells, cleared) for cells in kept)
        return
    from openpyxl import load_workbook

    book = load_workbook(source)
    sheet = next(one for one in book.worksheets if one.sheet_state == "visible")
    for column in cleared:
        for row in range(2, sheet.max_row + 1):
            sheet.cell(row, column + 1).value = None
    for line in sorted(outdated, reverse=True):
        sheet.delete_rows(line)
    book.save(target)


def _outdated(course: Course, rows: Mapping[int, Sequence[str]]) -> tuple[set[int], list[int]]:
    """Lines of versions that a later one has replaced, and places of what tells when one counts."""
    filled = [row for row in rows.values() if any(cell.strip() for cell in row)]
    if not filled:
        return set(), []
    names = item_header(filled[0], filled[1:]).names
    latest = {item.id: item.line for item in course.items}
    place = names.index("item") if "item" in names else 0
    outdated = {
        line
        for line, cells in rows.items()
        if place < len(cells) and latest.get(cells[place].strip(), line) != line
    }
    return outdated, [n for n, name in enumerate(names) if name in ("from", "correction")]


def _without(cells: list[str], cleared: list[int]) -> list[str]:
    names = {"from", "correction"}
    return [
        "" if place in cleared and cell.strip().casefold() not in names else cell
        for place, cell in enumerate(cells)
    ]


def _copy_settings(course: Course, folder: Path, term: Term | None) -> None:
    key = course.privacy.key_file
    elsewhere = None if _inside(key, course.folder) else os.fspath(key.resolve())
    book, toml = course.folder / "course.xlsx", course.folder / "course.toml"
    if book.exists():
        (folder / "course.toml").unlink()
        _copy_book(book, folder / "course.xlsx", term, elsewhere)
    elif toml.exists():
        text = _settings_text(toml.read_text("utf-8-sig"), term, elsewhere)
        (folder / "course.toml").write_text(text, encoding="utf-8", newline="\n")
    else:
        path = folder / "course.toml"
        path.write_text(f"{path.read_text('utf-8')}\n{_term_text(term)}", encoding="utf-8")


def _settings_text(text: str, term: Term | None, key: str | None) -> str:
    document: Any = tomlkit.parse(text)
    for name in _DATED:
        document.pop(name, None)
    for block in document.get("exports", ()):
        for name in _DATED_FACTS:
            block.pop(name, None)
    if key is not None and "privacy" in document:
        document["privacy"]["key_file"] = key
    return f"{tomlkit.dumps(document).rstrip()}\n\n{_term_text(term)}"


def _term_text(term: Term | None) -> str:
    if term is None or term.first_day is None:
        return _PLACEHOLDER
    said = {"id": term.id, "first_day": term.first_day, "weeks": term.weeks}
    return as_toml("terms", said)


def _copy_book(source: Path, target: Path, term: Term | None, key: str | None) -> None:
    from openpyxl import load_workbook

    book = load_workbook(source)
    for name in book.sheetnames:
        sheet, table = book[name], name.strip().casefold()
        names = [str(cell.value or "").strip().casefold() for cell in sheet[1]]
        if table in _DATED:
            sheet.delete_rows(2, sheet.max_row)
        if table == "terms" and term is not None and term.first_day is not None:
            said = {"id": term.id, "first_day": term.first_day.isoformat(), "weeks": term.weeks}
            sheet.append([said.get(one) for one in names])
        if table == "exports":
            for place in (names.index(one) + 1 for one in _DATED_FACTS if one in names):
                for row in range(2, sheet.max_row + 1):
                    sheet.cell(row, place).value = None
        if table == "privacy" and key is not None:
            for row in sheet.iter_rows(max_col=2):
                if str(row[0].value or "").strip() == "key_file":
                    row[1].value = key
    book.save(target)
