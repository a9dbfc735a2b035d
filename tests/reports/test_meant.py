"""What the page on trust says of answers that hang on brackets nobody typed."""

from __future__ import annotations

import pandas as pd

from reports.pages.quality import quality_page
from reports.parts import Part, Prose
from reports.source import Book
from reports.tables import Table
from tests.reports.conftest import Views

TITLE = "What is right if brackets were meant"


def parts(book: Book) -> tuple[Part, ...]:
    (section,) = (one for one in quality_page(book).sections if one.heading == TITLE)
    return section.parts


def test_it_counts_the_answers_and_names_the_form_that_would_settle_each(book: Book) -> None:
    prose, table = parts(book)

    assert isinstance(prose, Prose)
    assert isinstance(table, Table)
    assert prose.paragraphs[0].startswith("31 answers hang on brackets that were not typed")
    settled = dict(zip(table.frame["item"], table.frame["settled_by"], strict=True))
    assert "two boxes" in settled["q3"]
    assert "root template" in settled["q9"]
    assert settled["all others"] == ""
    assert "fewer than" in table.left_out or "hidden" in table.left_out


def test_it_says_how_many_were_probably_meant_and_what_the_others_show(book: Book) -> None:
    prose, table = parts(book)
    assert isinstance(prose, Prose)
    assert isinstance(table, Table)
    first = [cell.text for cell in table.rows[0].cells]

    assert prose.paragraphs[1].endswith("about 23 of 29.")
    assert first[3] == "14"
    assert "only root divided" in first[4]


def test_it_says_so_where_none_does(empty_book: Book) -> None:
    (prose,) = parts(empty_book)

    assert isinstance(prose, Prose)
    assert prose.paragraphs == ("No answer is counted apart for brackets that were not typed.",)


def test_answers_of_few_students_leave_a_sentence_without_their_number(views: Views) -> None:
    hidden = views.frame("own_meant").tail(1).convert_dtypes()
    figures = ["answers", "students", "told", "meant"]
    hidden = hidden.assign(**dict.fromkeys(figures, pd.array([pd.NA], dtype="Int64")))
    few = Book(Views({**views.frames, "own_meant": hidden.assign(note="hidden")}))

    prose, _ = parts(few)

    assert isinstance(prose, Prose)
    assert prose.paragraphs[0].startswith(f"Answers of fewer than {few.limit} students hang on")
    assert pd.isna(hidden["answers"]).all()
