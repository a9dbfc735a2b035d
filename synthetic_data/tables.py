"""Tables on disk: CSV in UTF-8, or a workbook in which every cell is text."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Sequence
from datetime import datetime
from pathlib import Path
from typing import Literal

from openpyxl import Workbook
from openpyxl.cell import WriteOnlyCell

FileKind = Literal["csv", "xlsx"]
Row = Sequence[str]
_STAMP = datetime(2025, 8, 1)  # a workbook's own dates would make two equal ones differ


def write_table(path: Path, rows: Iterable[Row], *, sheet: str = "answers") -> None:
    """Write rows, the first of them the headings; the ending of the path says which kind."""
    path.parent.mkdir(parents=True, exist_ok=True)
    if path.suffix == ".csv":
        with path.open("w", encoding="utf-8", newline="") as stream:
            csv.writer(stream, lineterminator="\n").writerows(rows)
    else:
        _write_workbook(path, rows, sheet)


def _write_workbook(path: Path, rows: Iterable[Row], sheet: str) -> None:
    book = Workbook(write_only=True)
    book.properties.created = book.properties.modified = _STAMP
    page = book.create_sheet(sheet)
    for row in rows:
        page.append([_text_cell(page, text) for text in row])
    book.save(path)


def _text_cell(page: object, text: str) -> object:
    """A cell that keeps `=`, `3/4` and `-6^2` as they were typed."""
    if not text.startswith("="):
        return text or None
    cell = WriteOnlyCell(page, value=text)
    cell.data_type = "s"
    return cell
