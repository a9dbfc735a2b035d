"""The next semester of a course: another folder's questions and settings, without its dates."""

from __future__ import annotations

import csv
import os
import shutil
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any

import tomlkit
from openpyxl import load_workbook

from pipeline.course.calendar import Term
from pipeline.course.hand_tags import TAGGED
from pipeline.course.item_headers import item_header
from pipeline.course.items import items_file
from pipeline.course.new import hold_free, new_course
from pipeline.course.read import read_course
from pipeline.course.records import Course
from pipeline.course.standard_files import STANDARDS_FOLDER
from pipeline.errors import CourseError
from pipeline.tables import open_table, plain_text

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
    hold_free(folder)
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
    block = tomlkit.table()
    for name, value in (("id", term.id), ("first_day", term.first_day), ("weeks", term.weeks)):
        block[name] = value
    blocks = tomlkit.aot()
    blocks.append(block)
    document = tomlkit.document()
    document["terms"] = blocks
    return tomlkit.dumps(document)


def _copy_book(source: Path, target: Path, term: Term | None, key: str | None) -> None:
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
