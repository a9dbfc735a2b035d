"""The outcomes as a Word file and as paragraphs to paste."""

from __future__ import annotations

from io import BytesIO

import docx
import pytest

from reports.pages.outcomes import outcomes_page
from reports.parts import Figure, Listing
from reports.source import KEEP, Book
from reports.tables import Table
from reports.word_file import word_file

PIXEL = bytes.fromhex(
    "89504e470d0a1a0a0000000d49484452000000010000000108060000001f15c489"
    "0000000d49444154789c6360606060000000050001a5f645400000000049454e44ae426082"
)


@pytest.fixture
def made(book: Book) -> bytes:
    return word_file(outcomes_page(book), KEEP["own"], lambda _: PIXEL)


def test_headings_are_headings_and_each_table_has_a_header_row(made: bytes, book: Book) -> None:
    """ISO/IEC 29500-1, 17.4.78: `tblHeader` marks a header row."""
    document = docx.Document(BytesIO(made))
    headings = [p.text for p in document.paragraphs if p.style.name == "Heading 1"]
    sections = outcomes_page(book).sections

    assert headings == [section.heading for section in sections]
    assert document.tables
    assert all("w:tblHeader" in table.rows[0]._tr.xml for table in document.tables)


def test_a_picture_has_its_text(made: bytes) -> None:
    (shape,) = docx.Document(BytesIO(made)).inline_shapes

    assert "Share of students who met the bar" in shape._inline.docPr.get("descr")


def test_tables_hold_the_cells_of_the_page(made: bytes, book: Book) -> None:
    parts = [part for section in outcomes_page(book).sections for part in section.parts]
    tables = [p.table if isinstance(p, Figure) else p for p in parts]
    first = next(table for table in tables if isinstance(table, Table) and table.rows)
    printed = docx.Document(BytesIO(made)).tables[0]

    for row, cells in zip(first.rows, printed.rows[1:], strict=True):
        assert [cell.text for cell in cells.cells][1:] == [str(c.text) for c in row.cells][1:]


def test_the_same_page_gives_the_same_file(made: bytes, book: Book) -> None:
    assert word_file(outcomes_page(book), KEEP["own"], lambda _: PIXEL) == made


def test_a_paragraph_names_figure_bar_errors_and_limits(book: Book) -> None:
    section = next(s for s in outcomes_page(book).sections if s.heading == "A paragraph to paste")
    said, _ = section.parts
    assert isinstance(said, Listing)
    first = said.items[0]

    assert first.startswith(
        "Outcome “Solves quadratic equations by a suitable method”: in Fall 2025, 79% of 240 "
        "students with enough questions met its bar (likely 74% to 84%); the target is 70%"
    )
    assert "The bar is 70% of at least 5 questions right at the first try" in first
    assert "Most in the way: “half not squared, or square means double”, 21% of 1,480" in first
    assert len(said.items) == 2  # the third is hidden


def test_the_questions_behind_an_outcome_stand_with_what_is_worth_a_look(book: Book) -> None:
    parts = [part for section in outcomes_page(book).sections for part in section.parts]
    table = next(p for p in parts if isinstance(p, Table) and p.name == "questions-behind")

    assert set(table.frame["item"]) >= {"q1", "q2", "q3"}
    assert set(table.frame.loc[table.frame["item"] == "q2", "outcome"]) == {"o1"}
