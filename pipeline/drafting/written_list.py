"""The list of questions on disk: rows added below what is there, computed answers and statuses.

What a person wrote is never changed: rows are appended, and only the columns `computed`, `status`
and `why` of rows that are there are written.
"""

from __future__ import annotations

import csv
from codecs import BOM_UTF8
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from io import StringIO
from pathlib import Path
from typing import Any, Final

from pipeline.course.item_headers import ITEM_COLUMNS, below_title, item_header
from pipeline.course.items import items_file
from pipeline.drafting.draft import CANNOT, LOOK, DraftRow, marks_of
from pipeline.storage import written_whole
from pipeline.tables import open_table, plain_text

_DRAFTED: Final = (
    "item", "topic", "task", "problem", "answer", "form", "numbers", "options", "quiz", "method",
    "asked", "keep", "wording", "computed", "status", "why",
)  # fmt: skip
_TEXT = "@"


@dataclass(frozen=True, slots=True)
class ListedRow:
    """One row as it stands: its line, from 1, and its cells by column."""

    line: int
    cells: Mapping[str, str]


@dataclass(slots=True)
class WrittenList:
    """The list as it stands, before anything of it was checked.

    Args:
        path: `items.xlsx` or `items.csv`; it need not exist.
        rows: all rows below the header that are not empty.
        names: column -> place, from 0, of the columns that are known.
        header: line of the header, from 1; 0 where there is none yet.
        width: number of columns.
    """

    path: Path
    rows: list[ListedRow] = field(default_factory=list)
    names: dict[str, int] = field(default_factory=dict)
    header: int = 0
    width: int = 0

    @property
    def ids(self) -> list[str]:
        """Ids that the list has."""
        return [row.cells["item"] for row in self.rows if row.cells.get("item")]

    @property
    def marks(self) -> set[str]:
        """What tells the questions again that the list has."""
        return set().union(*(marks_of(row.cells) for row in self.rows))

    def waiting(self) -> list[str]:
        """Drafted rows that are no questions yet, a sentence each."""
        rows = [row for row in self.rows if not row.cells.get("task")]
        return self._marked(CANNOT, rows, " is no question yet:", "its draft was not finished")

    def to_look_at(self) -> list[str]:
        """Drafted rows that want a look, a sentence each."""
        return self._marked(LOOK, self.rows, ":", "marked `look`")

    def _marked(self, status: str, rows: list[ListedRow], said: str, why: str) -> list[str]:
        return [f"{self.path.name}, line {row.line}: {row.cells.get('item', '')}{said} "
                f"{row.cells.get('why') or why}"
                for row in rows if row.cells.get("status", "").casefold() == status]  # fmt: skip


def read_list(folder: Path) -> WrittenList:
    """Read the list as far as it goes.

    Raises:
        InputError: a file that cannot be opened.
    """
    found = WrittenList(items_file(folder))
    if not found.path.exists() or not found.path.stat().st_size:
        return found
    usable = below_title(
        [
            (line, [plain_text(cell).strip() for cell in cells])
            for line, cells in open_table(found.path, found.path.name).rows()
            if isinstance(cells, list)
        ]
    )
    if not usable:
        return found
    (found.header, first), below = usable[0], usable[1:]
    found.width = len(first)
    names = item_header(first, [cells for _, cells in below]).names
    found.names = {name: place for place, name in enumerate(names) if name}
    found.rows = [
        ListedRow(line, {name: cells[place] for name, place in found.names.items()
                         if place < len(cells) and cells[place]})
        for line, cells in below
        if any(cells)
    ]  # fmt: skip
    return found


def write_list(
    listed: WrittenList,
    added: Sequence[DraftRow],
    changed: Mapping[int, Mapping[str, str]],
) -> str | None:
    """Append drafted rows, and write computed answers and statuses beside rows that are there.

    Args:
        listed: as `read_list` gave it.
        added: rows to append, marked with their status.
        changed: line -> column of `computed`, `status`, `why` -> text.

    Returns:
        Name of the file; None when there was nothing to write.

    Raises:
        CourseError: it cannot be written.
    """
    if not added and not changed:
        return None
    rows = [{**row.cells, "status": row.status, "why": row.why} for row in added]
    if listed.path.suffix == ".csv":
        _write_text(listed, rows, changed)
    else:
        _write_book(listed, rows, changed)
    return listed.path.name


def _places(listed: WrittenList, rows: Sequence[Mapping[str, str]],
            changed: Mapping[int, Mapping[str, str]]) -> dict[str, int]:  # fmt: skip
    """Column -> place; columns that are needed and missing go to the right."""
    needed = {name for row in rows for name, text in row.items() if text}
    needed |= {name for cells in changed.values() for name in cells}
    order = ITEM_COLUMNS if listed.header else _DRAFTED
    places = dict(listed.names)
    width = listed.width
    for name in order:
        if name not in places and (name in needed or not listed.header):
            places[name], width = width, width + 1
    return places


def _write_book(
    listed: WrittenList,
    rows: Sequence[Mapping[str, str]],
    changed: Mapping[int, Mapping[str, str]],
) -> None:
    from openpyxl import Workbook, load_workbook  # slow to import

    book = load_workbook(listed.path) if listed.path.exists() else Workbook()
    visible = [sheet for sheet in book.worksheets if sheet.sheet_state == "visible"]
    sheet = visible[0]
    places = _places(listed, rows, changed)
    header = listed.header or 1
    for name, place in places.items():
        if name not in listed.names:
            _put(sheet, header, place, name)
    line = max([header, *(row.line for row in listed.rows)])
    for cells in rows:
        line += 1
        for name, text in cells.items():
            if text:
                _put(sheet, line, places[name], text)
    for line, cells in changed.items():
        for name, text in cells.items():
            _put(sheet, line, places[name], text)
    with written_whole(listed.path) as fresh:
        book.save(fresh)


def _put(sheet: Any, line: int, place: int, text: str) -> None:
    cell = sheet.cell(line, place + 1)
    cell.value = text or None
    cell.number_format = _TEXT
    if text:
        cell.data_type = "s"  # a text that begins with = is no formula here


def _write_text(
    listed: WrittenList,
    rows: Sequence[Mapping[str, str]],
    changed: Mapping[int, Mapping[str, str]],
) -> None:
    raw = listed.path.read_bytes() if listed.path.exists() else b""
    table = open_table(listed.path, listed.path.name) if raw else None
    encoding = (table.contents.encoding if table else None) or "utf-8"
    encoding = encoding if raw.startswith(BOM_UTF8) else encoding.removesuffix("-sig")
    text = raw.decode(encoding)
    delimiter = _delimiter(text)
    places = _places(listed, rows, changed)
    width = max([listed.width, *(place + 1 for place in places.values())])
    out = StringIO()
    writer = csv.writer(out, delimiter=delimiter, lineterminator="\r\n" if "\r\n" in text else "\n")
    reader = csv.reader(StringIO(text, newline=""), delimiter=delimiter)
    begin = 1
    for cells in reader:
        full = cells + [""] * (width - len(cells)) if any(cells) else cells
        if begin == listed.header:
            for name, place in places.items():
                full[place] = full[place] or name
        for name, text_of_cell in changed.get(begin, {}).items():
            full[places[name]] = text_of_cell
        writer.writerow(full)
        begin = reader.line_num + 1
    if not listed.header:
        writer.writerow(sorted(places, key=lambda name: places[name]))
    for one in rows:
        full = [""] * width
        for name, cell in one.items():
            if cell:
                full[places[name]] = cell
        writer.writerow(full)
    with written_whole(listed.path) as fresh:
        fresh.write_bytes(out.getvalue().encode(encoding))


def _delimiter(text: str) -> str:
    first = text.splitlines()[0] if text.strip() else ","
    return max(",;\t|", key=first.count)
