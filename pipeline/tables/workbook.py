"""Workbooks: cell text as it stands, with a mark where a spreadsheet program made it its own."""

from __future__ import annotations

import warnings
import zipfile
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from itertools import repeat
from typing import Any
from xml.etree.ElementTree import ParseError

from openpyxl import load_workbook
from openpyxl.utils.exceptions import InvalidFileException

from pipeline.errors import InputError
from pipeline.tables.rows import FORMULA_CELL, cell_text, plain_text
from pipeline.tables.source import Source

__all__ = ["sheet_names", "workbook_rows"]

_BROKEN = (zipfile.BadZipFile, InvalidFileException, KeyError, ValueError, ParseError, EOFError)


def sheet_names(source: Source) -> tuple[str, ...]:
    """Names of the visible worksheets, in order.

    Raises:
        InputError: no workbook, or none that is visible.
    """
    with _opened(source, values=True) as book:
        sheets = [one.title for one in book.worksheets if one.sheet_state == "visible"]
    if not sheets:
        raise InputError(
            f"{source.name}: no visible worksheet in it. Unhide one or save as CSV UTF-8."
        )
    return tuple(sheets)


def workbook_rows(source: Source, sheet: str) -> Iterator[tuple[int, list[str]]]:
    """Rows that are not empty, each with its row number, from 1; cells as marked text.

    Raises:
        InputError: the workbook breaks off.
    """
    with ExitStack() as stack:
        book = stack.enter_context(_opened(source, values=True))
        written: Iterator[tuple[object, ...]] = repeat(())
        if _has_formulas(source):
            written = _cells(stack.enter_context(_opened(source, values=False)), sheet)
        try:
            for line, (row, formulas) in enumerate(
                zip(_cells(book, sheet), written, strict=False), 1
            ):
                cells = _marked(row, formulas)
                if any(cells):
                    yield line, cells
        except _BROKEN as error:
            raise InputError(
                f"{source.name}: the workbook is damaged ({error}). Save it again."
            ) from error


def _marked(row: tuple[object, ...], formulas: tuple[object, ...]) -> list[str]:
    cells = [cell_text(value) for value in row]
    for place, text in enumerate(formulas):
        if isinstance(text, str) and text.startswith("=") and text != row[place]:
            cells[place] = FORMULA_CELL + plain_text(cells[place])
    return cells


@contextmanager
def _opened(source: Source, *, values: bool) -> Iterator[Any]:
    """The workbook, with results or with formulas in the cells that have one; closed at the end."""
    with source.opened() as stream:
        try:
            with warnings.catch_warnings():
                warnings.simplefilter("ignore")  # of styles and extensions that do not matter here
                book = load_workbook(stream, read_only=True, data_only=values)
        except _BROKEN as error:
            raise InputError(
                f"{source.name}: cannot be opened as a workbook ({error}). Save it as .xlsx or "
                "as CSV UTF-8."
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


def _has_formulas(source: Source) -> bool:
    with source.opened() as whole, zipfile.ZipFile(whole) as archive:
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
