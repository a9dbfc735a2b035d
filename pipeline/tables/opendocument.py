"""OpenDocument spreadsheets: cell text as typed, with the marks of `pipeline.tables.rows`."""

from __future__ import annotations

import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from typing import IO, Any

from lxml import etree

from pipeline.errors import InputError
from pipeline.tables.budgets import COLUMNS, WORKBOOK_BYTES, WORKBOOK_ROWS
from pipeline.tables.rows import (
    DATE_CELL,
    FORMATTED_CELL,
    FORMULA_CELL,
    NUMBER_CELL,
    MergedCells,
    Range,
    TableRow,
    cell_text,
    whole_row,
)
from pipeline.tables.source import BROKEN, Source, refuse_swelling

# OASIS Open Document Format 1.3, part 3, sections 9 and 19.
_NAMESPACE = "urn:oasis:names:tc:opendocument:xmlns"
_TABLE, _OFFICE = f"{{{_NAMESPACE}:table:1.0}}", f"{{{_NAMESPACE}:office:1.0}}"
_TEXT, _STYLE = f"{{{_NAMESPACE}:text:1.0}}", f"{{{_NAMESPACE}:style:1.0}}"
_CELLS = (f"{_TABLE}table-cell", f"{_TABLE}covered-table-cell")
_TAGS = (f"{_TABLE}table", f"{_TABLE}table-row", f"{_STYLE}style")
_CHANGED = frozenset("/%Ee")  # a number shown with one of these is not what was typed


def opendocument_sheets(source: Source) -> tuple[str, ...]:
    """Names of the visible sheets, in order.

    Raises:
        InputError: no spreadsheet, with a password, or none that is visible.
    """
    hidden: set[str] = set()
    sheets = []
    with _content(source) as stream:
        for event, element in _events(source, stream):
            if element.tag == f"{_STYLE}style" and event == "end":
                shown = element.find(f"{_STYLE}table-properties")
                if shown is not None and shown.get(f"{_TABLE}display") == "false":
                    hidden.add(element.get(f"{_STYLE}name", ""))
            elif element.tag == f"{_TABLE}table" and event == "start":
                if element.get(f"{_TABLE}style-name") not in hidden:
                    sheets.append(element.get(f"{_TABLE}name", ""))
            elif event == "end" and element.tag == f"{_TABLE}table-row":
                _let_go(element)
    if not sheets:
        raise InputError(f"{source.name}: no visible sheet in it. Unhide one or save as CSV UTF-8.")
    return tuple(sheets)


def opendocument_rows(source: Source, sheet: str) -> Iterator[TableRow]:
    """Rows that are not empty, each with its row number, from 1; cells as marked text.

    Raises:
        InputError: the file breaks off, or has more rows or columns than any program writes.
    """
    inside, line, merged = False, 1, MergedCells()
    with _content(source) as stream:
        for event, element in _events(source, stream):
            if element.tag == f"{_TABLE}table":
                inside = event == "start" and element.get(f"{_TABLE}name", "") == sheet
            elif element.tag == f"{_TABLE}table-row" and event == "end":
                if inside:
                    repeated = int(element.get(f"{_TABLE}number-rows-repeated", "1"))
                    cells = _row(source, element, line, merged)
                    if any(cells) and line + repeated > WORKBOOK_ROWS + 1:
                        raise InputError(
                            f"{source.name}: sheet {sheet!r} has a row beyond {WORKBOOK_ROWS:,}. "
                            "Save it again, or export it as CSV."
                        )
                    for row in range(repeated if any(cells) else 0):
                        filled = merged.filled(line + row, cells)
                        yield whole_row(line + row, filled)
                    line += repeated
                _let_go(element)


def _let_go(element: Any) -> None:
    """Free what was read, so that memory does not grow with the rows."""
    element.clear()
    while element.getprevious() is not None:
        del element.getparent()[0]


def _row(source: Source, element: Any, line: int, merged: MergedCells) -> list[str]:
    cells: list[str] = []
    waiting = 0
    spans = []
    for cell in element.iterchildren(*_CELLS):
        text = "" if cell.tag == _CELLS[1] else _cell(cell)
        repeated = int(cell.get(f"{_TABLE}number-columns-repeated", "1"))
        if not text:
            waiting += repeated
            continue
        if len(cells) + waiting + repeated > COLUMNS:
            raise InputError(
                f"{source.name}, row {line}: more than {COLUMNS:,} columns. Export it as CSV "
                "without the columns that are not needed."
            )
        cells += [""] * waiting
        waiting = 0
        right = len(cells) + int(cell.get(f"{_TABLE}number-columns-spanned", "1"))
        bottom = line + int(cell.get(f"{_TABLE}number-rows-spanned", "1")) - 1
        if right > len(cells) + 1 or bottom > line:
            spans.append(Range(line, len(cells) + 1, bottom, min(right, COLUMNS)))
        cells += [text] * repeated
    for span in spans:
        merged.add(span, cells)
    return cells


def _cell(cell: Any) -> str:
    text: str
    kind = cell.get(f"{_OFFICE}value-type")
    paragraphs = [_paragraph(one) for one in cell.iterchildren(f"{_TEXT}p")]
    shown = "\n".join(paragraphs)
    value = cell.get(f"{_OFFICE}value", "")
    match kind:
        case "date" | "time":
            text = DATE_CELL + cell.get(f"{_OFFICE}{kind}-value", shown)
        case "boolean":
            text = NUMBER_CELL + cell.get(f"{_OFFICE}boolean-value", shown).upper()
        case "float" | "percentage" | "currency":
            changed = kind == "percentage" or not _CHANGED.isdisjoint(shown)
            number = _number(value)
            text = FORMATTED_CELL + number if changed else NUMBER_CELL + number
        case _:
            text = shown if paragraphs else cell.get(f"{_OFFICE}string-value", "")
    if cell.get(f"{_TABLE}formula"):
        return FORMULA_CELL + (text[1:] if kind and kind != "string" else text)
    return text


def _number(value: str) -> str:
    try:
        return cell_text(float(value))[1:]
    except ValueError:
        return value


def _paragraph(element: Any) -> str:
    """The text of a paragraph, in which runs of blanks, tabs and line breaks are elements."""
    parts = [element.text or ""]
    for one in element.iterchildren():
        if one.tag == f"{_TEXT}s":
            parts.append(" " * min(int(one.get(f"{_TEXT}c", "1")), 1000))
        elif one.tag == f"{_TEXT}tab":
            parts.append("\t")
        elif one.tag == f"{_TEXT}line-break":
            parts.append("\n")
        elif isinstance(one.tag, str) and one.tag != f"{_OFFICE}annotation":
            parts.append(_paragraph(one))
        parts.append(one.tail or "")
    return "".join(parts)


def _events(source: Source, stream: IO[bytes]) -> Iterator[tuple[str, Any]]:
    events = etree.iterparse(
        stream,
        events=("start", "end"),
        tag=_TAGS,
        resolve_entities=False,
        load_dtd=False,
        no_network=True,
        huge_tree=False,
    )
    try:
        for event, element in events:
            if element.getroottree().docinfo.doctype:
                raise InputError(
                    f"{source.name}: it declares entities, which no spreadsheet program does. "
                    "Save it again, or as CSV UTF-8."
                )
            yield event, element
    except (etree.XMLSyntaxError, ValueError) as error:
        raise InputError(
            f"{source.name}: the spreadsheet is damaged ({error}). Save it again."
        ) from error


@contextmanager
def _content(source: Source) -> Iterator[IO[bytes]]:
    with source.anywhere() as whole:
        try:
            with zipfile.ZipFile(whole) as archive:
                refuse_swelling(source.name, archive.infolist(), WORKBOOK_BYTES)
                if b"encryption-data" in archive.read("META-INF/manifest.xml"):
                    raise InputError(f"{source.name}: it has a password. Save it without one.")
                with archive.open("content.xml") as stream:
                    yield stream
        except (*BROKEN, KeyError, RuntimeError) as error:
            raise InputError(
                f"{source.name}: cannot be opened as a spreadsheet ({error}). Save it as .ods, "
                ".xlsx or CSV UTF-8."
            ) from error
