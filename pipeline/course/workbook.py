"""Workbooks: cell text as it stands, with a mark where a spreadsheet program made it its own.

The marks are control characters, which the XML of a workbook cannot hold, so no cell can fake one.
"""

from __future__ import annotations

import warnings
import zipfile
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from datetime import date, datetime, time, timedelta
from itertools import repeat
from pathlib import Path
from typing import Any
from xml.etree.ElementTree import ParseError

from openpyxl import load_workbook
from openpyxl.utils.exceptions import InvalidFileException

from pipeline.errors import InputError

__all__ = ["DATE_CELL", "FORMULA_CELL", "NUMBER_CELL", "plain_text", "sheet_names", "workbook_rows"]

DATE_CELL = "\x00"
NUMBER_CELL = "\x01"
FORMULA_CELL = "\x02"
_MARKS = DATE_CELL + NUMBER_CELL + FORMULA_CELL
_BROKEN = (zipfile.BadZipFile, InvalidFileException, KeyError, ValueError, ParseError, EOFError)
_WHOLE = 1e15  # beyond it a float no longer tells neighbouring integers apart


def plain_text(cell: str) -> str:
    """The text of a cell without its mark."""
    return cell[1:] if cell[:1] in _MARKS and cell else cell


def sheet_names(path: Path, name: str) -> tuple[str, ...]:
    """Names of the visible worksheets, in order.

    Raises:
        InputError: no workbook, or none that is visible.
    """
    with _opened(path, name, values=True) as book:
        sheets = [one.title for one in book.worksheets if one.sheet_state == "visible"]
    if not sheets:
        raise InputError(f"{name}: no visible worksheet in it. Unhide one or save as CSV UTF-8.")
    return tuple(sheets)


def workbook_rows(path: Path, name: str, sheet: str) -> Iterator[tuple[int, list[str]]]:
    """Rows that are not empty, each with its row number, from 1; cells as marked text.

    Raises:
        InputError: the workbook breaks off.
    """
    with ExitStack() as stack:
        book = stack.enter_context(_opened(path, name, values=True))
        written: Iterator[tuple[object, ...]] = repeat(())
        if _has_formulas(path):
            written = _cells(stack.enter_context(_opened(path, name, values=False)), sheet)
        try:
            for line, (row, formulas) in enumerate(
                zip(_cells(book, sheet), written, strict=False), 1
            ):
                cells = _marked(row, formulas)
                if any(cells):
                    yield line, cells
        except _BROKEN as error:
            raise InputError(
                f"{name}: the workbook is damaged ({error}). Save it again."
            ) from error


def _marked(row: tuple[object, ...], formulas: tuple[object, ...]) -> list[str]:
    cells = [cell_text(value) for value in row]
    for place, text in enumerate(formulas):
        if isinstance(text, str) and text.startswith("=") and text != row[place]:
            cells[place] = FORMULA_CELL + plain_text(cells[place])
    return cells


def cell_text(value: object) -> str:
    """Text of a cell value; dates and numbers carry their mark."""
    match value:
        case str():
            return value
        case None:
            return ""
        case bool():
            return NUMBER_CELL + ("TRUE" if value else "FALSE")
        case float() if value.is_integer() and abs(value) < _WHOLE:
            return NUMBER_CELL + str(int(value))
        case datetime() | date() | time():
            return DATE_CELL + value.isoformat()
        case timedelta():
            return DATE_CELL + str(value)
        case _:
            return NUMBER_CELL + str(value)


@contextmanager
def _opened(path: Path, name: str, *, values: bool) -> Iterator[Any]:
    """The workbook, with results or with formulas in the cells that have one; closed at the end."""
    with path.open("rb") as stream:
        try:
            with warnings.catch_warnings():
                warnings.simplefilter("ignore")  # of styles and extensions that do not matter here
                book = load_workbook(stream, read_only=True, data_only=values)
        except _BROKEN as error:
            raise InputError(
                f"{name}: cannot be opened as a workbook ({error}). Save it as .xlsx or as CSV "
                "UTF-8."
            ) from error
        try:
            yield book
        finally:
            book.close()


def _cells(book: Any, sheet: str) -> Iterator[tuple[object, ...]]:
    page = book[sheet]
    page.reset_dimensions()  # some programs write a size that is too small
    rows: Iterator[tuple[object, ...]] = page.iter_rows(values_only=True)
    return rows


def _has_formulas(path: Path) -> bool:
    with zipfile.ZipFile(path) as archive:
        for part in archive.namelist():
            if part.startswith("xl/worksheets/"):
                with archive.open(part) as stream:
                    before = b""
                    while chunk := stream.read(1 << 20):
                        data = before + chunk
                        if b"<f>" in data or b"<f " in data:
                            return True
                        before = data[-3:]
    return False
