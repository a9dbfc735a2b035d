"""Copies of exports with pseudonyms in place of ids, line for line where the raw file has them."""

from __future__ import annotations

import csv
import hashlib
import io
import re
from collections.abc import Callable, Iterator, Mapping
from contextlib import suppress
from datetime import datetime
from pathlib import Path

from pipeline.ingest.export_files import OpenedExport
from pipeline.ingest.plan import Plan
from pipeline.ingest.withheld import TYPED, WITHHELD, names_its_student, names_someone
from pipeline.tables import DATE_CELL, FORMATTED_CELL, NUMBER_CELL, plain_text
from pipeline.tables.delimited import file_delimiter

_LINE_END = re.compile(r"\r\n|\r|\n")

_Row = tuple[int, list[str]]
_WORDED = (*TYPED, "setting", "term")
"""Columns in words of the export's own; the database keeps no such setting, a copy would."""


def can_be_copied(opened: OpenedExport) -> bool:
    """Whether a copy can take the place of a file: one of text, or a workbook of one sheet."""
    table = opened.table
    plain = table.source.member is None and not table.source.packed and not opened.further
    return plain and (table.encoding is not None or table.source.ending in (".xlsx", ".xlsm"))


def write_copy(
    opened: OpenedExport,
    students: Mapping[int, str],
    path: Path,
    is_student: Callable[[str], bool],
    find: Callable[[str], object],
) -> str:
    """Write the copy of one export.

    Args:
        opened: the raw file and its plan.
        students: line -> what stands in place of the id, "" for a row of counts; rows on other
            lines are left out, and so is every column that is not used.
        is_student: whether a piece of a typed text is a student's id.
        find: finds a question that the course lists, by the text that names it.
        path: where to write it, readable by its owner alone.

    Returns:
        SHA-256 of its bytes.
    """
    rows = _rows(opened, students, is_student, find)
    if opened.table.is_workbook:
        _write_workbook(rows, opened.plan.sheet or opened.table.sheets[0], path)
    else:
        _write_text(rows, _delimiter(opened), path)
    path.chmod(0o600)
    return hashlib.sha256(path.read_bytes()).hexdigest()


def _rows(
    opened: OpenedExport,
    students: Mapping[int, str],
    is_student: Callable[[str], bool],
    find: Callable[[str], object],
) -> Iterator[_Row]:
    plan = opened.plan
    used, typed = _places(plan)
    items = set(plan.fields.get("item", ()))
    names = {plan.header.names[place] for place in used}
    whose = plan.fields.get("student", ())
    for line, cells in opened.table.rows(plan.sheet):
        if not isinstance(cells, list):
            continue
        if line == plan.header.line:
            # A column of the same name as a used one keeps it, or the count of names would shift.
            yield line, [c if i in used or c.strip() in names else "" for i, c in enumerate(cells)]
        elif line == plan.points_line:
            yield line, [cell if place in used else "" for place, cell in enumerate(cells)]
        elif line in students:
            student = " ".join(plain_text(cells[place]).strip() for place in whose)
            kept = [cell if place in used else "" for place, cell in enumerate(cells)]
            for place in typed & set(range(len(kept))):
                text = plain_text(kept[place])
                if place in items and find(text):
                    continue
                if names_its_student(text, student) or names_someone(text, is_student):
                    kept[place] = WITHHELD
            for place in whose:
                kept[place] = students[line] if place == whose[0] else ""
            yield line, kept


def _places(plan: Plan) -> tuple[set[int], set[int]]:
    """Places of all columns that are used, and of those that hold what was typed."""
    used = {place for places in plan.fields.values() for place in places}
    typed = {place for name in _WORDED for place in plan.fields.get(name, ())}
    for question in plan.questions:
        used |= {*question.boxes, *question.about.values()}
        typed |= {*question.boxes, *(p for n, p in question.about.items() if n in _WORDED)}
    return used, typed


def _delimiter(opened: OpenedExport) -> str:
    return file_delimiter(opened.table.source, opened.table.encoding or "utf-8")


def _write_text(rows: Iterator[_Row], delimiter: str, path: Path) -> None:
    """Empty lines stand where a row was left out, so that every row keeps its line."""
    written = 1
    with path.open("w", encoding="utf-8", newline="") as stream:
        for line, cells in rows:
            stream.write("\n" * (line - written))
            text = io.StringIO(newline="")
            csv.writer(text, delimiter=delimiter, lineterminator="\n").writerow(cells)
            stream.write(text.getvalue())
            written = line + len(_LINE_END.findall(text.getvalue()))


def _write_workbook(rows: Iterator[_Row], sheet: str, path: Path) -> None:
    from openpyxl import Workbook  # slow to import
    from openpyxl.cell import WriteOnlyCell

    book = Workbook(write_only=True)
    page = book.create_sheet(sheet)
    written = 1
    for line, cells in rows:
        for _ in range(line - written):
            page.append([])
        row = []
        for text in cells:
            cell = WriteOnlyCell(page, value=_value(text))
            if isinstance(cell.value, str):
                cell.data_type = "s"  # a text that begins with = is no formula here
            row.append(cell)
        page.append(row)
        written = line + 1
    with path.open("wb") as stream:
        book.save(stream)


def _value(text: str) -> object:
    """The value of a cell, so that the copy carries the same marks as the raw file."""
    bare = plain_text(text)
    if text[:1] in (NUMBER_CELL, FORMATTED_CELL):
        if bare in ("TRUE", "FALSE"):
            return bare == "TRUE"
        with suppress(ValueError):
            return int(bare) if bare.lstrip("-").isdigit() else float(bare)
    if text.startswith(DATE_CELL):
        with suppress(ValueError):
            return datetime.fromisoformat(bare)
    return bare or None
