"""A page as a Word file: real headings, tables with header rows, pictures with their text."""

from __future__ import annotations

import zipfile
from collections.abc import Callable
from datetime import datetime
from io import BytesIO
from typing import TYPE_CHECKING, Any

from markupsafe import Markup

from reports.parts import Behind, Figure, Listing, Page, Part, Prose
from reports.tables import Cell, Table

if TYPE_CHECKING:
    from docx.document import Document

WHENEVER = datetime(1980, 1, 1)
"""When it was made, whenever that is: the same page gives the same file."""


def word_file(page: Page, keep: str, picture: Callable[[str], bytes | None]) -> bytes:
    """Return a page as a Word file.

    Args:
        page: the page.
        keep: whom it is for, one sentence.
        picture: PNG of a figure by its name; None where it could not be drawn.
    """
    import docx

    document = docx.Document()
    facts = document.core_properties
    facts.title, facts.author, facts.language = page.question, "lostroot", "en-US"
    facts.created = facts.modified = WHENEVER
    document.add_heading(page.question, 0)
    document.add_paragraph(keep)
    document.add_paragraph(page.finding)
    document.add_paragraph(page.covers)
    for section in page.sections:
        document.add_heading(section.heading, 1)
        for part in section.parts:
            _add(document, part, picture)
    stream = BytesIO()
    document.save(stream)
    return _undated(stream)


def _add(document: Document, part: Part, picture: Callable[[str], bytes | None]) -> None:
    match part:
        case Prose(paragraphs) | Behind(paragraphs):
            for paragraph in paragraphs:
                document.add_paragraph(paragraph)
        case Listing(items, numbered):
            for item in items:
                document.add_paragraph(item, "List Number" if numbered else "List Bullet")
        case Figure():
            document.add_heading(part.title, 2)
            image = None if part.empty else picture(part.name)
            if image is not None:
                _add_picture(document, image, f"{part.says} {part.longer}")
            _add_table(document, part.table)
        case Table():
            _add_table(document, part)


def _add_picture(document: Document, image: bytes, says: str) -> None:
    from docx.shared import Cm

    shape = document.add_picture(BytesIO(image), width=Cm(15.5))
    shape._inline.docPr.set("descr", says)  # the library has no name for alternative text


def _add_table(document: Document, table: Table) -> None:
    document.add_heading(table.caption, 2)
    if table.rows:
        grid: Any = document.add_table(1 + len(table.rows), len(table.columns), "Table Grid")
        _repeat(grid.rows[0])
        texts = [column.heading for column in table.columns]
        for row in table.rows:
            note = f" ({row.note})" if row.note else ""
            first, *others = (_plain(cell) for cell in row.cells)
            texts += [first + note, *others]
        # One look at all cells: to ask for them row by row takes ten times as long.
        for cell, text in zip(grid._cells, texts, strict=True):
            cell.text = text
    document.add_paragraph(" ".join([*table.shared_notes, table.left_out]).strip())


def _plain(cell: Cell) -> str:
    """A formula as it was typed, anything else as the page prints it."""
    return cell.value if isinstance(cell.text, Markup) else cell.text


def _repeat(row: Any) -> None:
    """Mark a row as the header, which is read out and printed on each sheet."""
    from docx.oxml import OxmlElement

    row._tr.get_or_add_trPr().append(OxmlElement("w:tblHeader"))


def _undated(stream: BytesIO) -> bytes:
    """The same archive without the moment at which it was packed."""
    plain = BytesIO()
    with zipfile.ZipFile(stream) as old, zipfile.ZipFile(plain, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            new.writestr(zipfile.ZipInfo(name), old.read(name), zipfile.ZIP_DEFLATED)
    return plain.getvalue()
