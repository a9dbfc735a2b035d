"""Workbooks: cell text as it stands, with a mark where a spreadsheet program made it its own."""

from __future__ import annotations

import re
import warnings
import zipfile
from collections.abc import Iterator, Sequence
from contextlib import ExitStack, contextmanager
from itertools import repeat
from typing import Any
from xml.etree.ElementTree import ParseError

from openpyxl import load_workbook
from openpyxl.styles import Alignment, Font
from openpyxl.utils.cell import get_column_letter, range_boundaries
from openpyxl.utils.exceptions import InvalidFileException

from pipeline.errors import InputError
from pipeline.tables.budgets import MERGED_RANGES, WORKBOOK_BYTES, WORKBOOK_ROWS
from pipeline.tables.rows import (
    FORMATTED_CELL,
    FORMULA_CELL,
    NUMBER_CELL,
    MergedCells,
    Range,
    TableRow,
    cell_text,
    plain_text,
    whole_row,
)
from pipeline.tables.source import BROKEN, CHUNK, Source, refuse_swelling

_BROKEN = (
    *BROKEN,
    *(InvalidFileException, KeyError, ValueError, TypeError, AttributeError),
    *(ParseError, IndexError, OverflowError, RuntimeError),
)
# A fraction, a percentage, or a power of ten: the number is not what was typed.
_CHANGED = re.compile(r"[?#]/|%|0E[+-]", re.I)
# Prefixes of names differ between programs; a comment that looks like one of these does no harm.
_FORMULA = re.compile(rb"<(?:\w+:)?f[ >/]")
_MERGED = re.compile(rb'<(?:\w+:)?mergeCell\s[^>]*?ref="([A-Z]+[0-9]+:[A-Z]+[0-9]+)"')
_LONGEST = 200


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


def workbook_rows(source: Source, sheet: str) -> Iterator[TableRow]:
    """Rows that are not empty, each with its row number, from 1; cells as marked text.

    Raises:
        InputError: the workbook breaks off, or has more rows than any program writes.
    """
    with ExitStack() as stack:
        book = stack.enter_context(_opened(source, values=True))
        try:
            has_formulas, merged = _look_through(source, book[sheet]._worksheet_path)
            written: Iterator[tuple[Any, ...]] = repeat(())
            if has_formulas:
                written = _cells(stack.enter_context(_opened(source, values=False)), sheet)
            rows = zip(_cells(book, sheet), written, strict=False)
            for line, (row, formulas) in enumerate(rows, 1):
                if line > WORKBOOK_ROWS:
                    raise InputError(
                        f"{source.name}: sheet {sheet!r} has a row beyond {WORKBOOK_ROWS:,}. "
                        "Save it again, or export it as CSV."
                    )
                cells = merged.filled(line, _marked(row, formulas))
                if any(cells):
                    yield whole_row(line, cells)
        except _BROKEN as error:
            raise InputError(
                f"{source.name}: the workbook is damaged ({error}). Save it again."
            ) from error


def _marked(row: tuple[Any, ...], formulas: tuple[Any, ...]) -> list[str]:
    cells = [_text(cell) for cell in row]
    for place, cell in enumerate(formulas):
        if cell.data_type == "f":
            cells[place] = FORMULA_CELL + plain_text(cells[place])
    return cells


def _text(cell: Any) -> str:
    value = cell.value
    if value is None or type(value) is str:  # as nearly all are
        return value or ""
    text = cell_text(value)
    if text.startswith(NUMBER_CELL) and _CHANGED.search(cell.number_format):
        return FORMATTED_CELL + text[1:]
    return text


@contextmanager
def _opened(source: Source, *, values: bool) -> Iterator[Any]:
    """The workbook, with results or with formulas in the cells that have one; closed at the end."""
    with source.anywhere() as stream:
        try:
            with zipfile.ZipFile(stream) as archive:
                _refuse_parts(source, archive)
            stream.seek(0)
            with warnings.catch_warnings():
                warnings.simplefilter("ignore")  # of styles and extensions that do not matter here
                book = load_workbook(stream, read_only=True, data_only=values)
        except _BROKEN as error:
            raise InputError(
                f"{source.name}: cannot be opened as a workbook ({error}): it breaks off, is "
                "damaged, or is none. Export it again, as .xlsx or as CSV UTF-8."
            ) from error
        try:
            yield book
        finally:
            book.close()


def _refuse_parts(source: Source, archive: zipfile.ZipFile) -> None:
    refuse_swelling(source.name, archive.infolist(), WORKBOOK_BYTES)
    for part in archive.namelist():
        if part.endswith((".xml", ".rels")):
            with archive.open(part) as stream:
                if b"<!DOCTYPE" in stream.read(_LONGEST * 5):
                    raise InputError(
                        f"{source.name}: its part {part} declares entities, which no spreadsheet "
                        "program does. Save it again, or as CSV UTF-8."
                    )


def _cells(book: Any, sheet: str) -> Iterator[tuple[Any, ...]]:
    page = book[sheet]
    page.reset_dimensions()  # some programs write a size that is too small, or far too large
    rows: Iterator[tuple[Any, ...]] = page.iter_rows()
    return rows


def _look_through(source: Source, part: str) -> tuple[bool, MergedCells]:
    """Whether a sheet has formulas, and its merged cells, which stand behind all rows."""
    formulas, spans = False, set[bytes]()
    with (
        source.anywhere() as whole,
        zipfile.ZipFile(whole) as archive,
        archive.open(part) as stream,
    ):
        before = b""
        while chunk := stream.read(CHUNK):
            data = before + chunk
            formulas = formulas or _FORMULA.search(data) is not None
            spans.update(_MERGED.findall(data))
            if len(spans) > MERGED_RANGES:
                raise InputError(
                    f"{source.name}: more than {MERGED_RANGES:,} merged cells. Save it as CSV."
                )
            before = data[-_LONGEST:]
    return formulas, MergedCells(_range(one.decode()) for one in spans)


def _range(text: str) -> Range:
    left, top, right, bottom = range_boundaries(text)
    return Range(top, left, bottom, right)


def fill_with_text(
    sheet: Any, rows: Sequence[Sequence[str]], widths: Sequence[int], *, wrap: bool = False
) -> None:
    """Fill a sheet with rows of texts below a bold header; widths of its columns in letters."""
    for row in rows:
        sheet.append(list(row))
    for cells in sheet.iter_rows():
        for cell in cells:
            cell.number_format = "@"  # a spreadsheet program leaves 3/4 and -6^2 alone
            cell.data_type = "s"  # a text that begins with = is no formula here
            if wrap:
                cell.alignment = Alignment(wrap_text=True, vertical="top")
    for cell, width in zip(sheet[1], widths, strict=True):
        cell.font = Font(bold=True)
        sheet.column_dimensions[get_column_letter(cell.column)].width = width
