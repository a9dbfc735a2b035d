"""Scores that look unfair stand first on the page on trust, each with a sentence to send."""

from __future__ import annotations

from reports.pages.quality import quality_page
from reports.source import Book
from reports.tables import Table


def tables(book: Book) -> list[Table]:
    first = quality_page(book).sections[0]
    assert first.heading == "Scores that look unfair"
    return [part for part in first.parts if isinstance(part, Table)]


def test_a_row_says_what_would_cure_it_and_where_the_first_answer_stands(book: Book) -> None:
    unfair, kind, _ = tables(book)
    named, several = ([cell.text for cell in row.cells] for row in unfair.rows)

    assert named[0] == "Please accept “5/2” for “2.5”: they are the same."
    assert (named[1], named[4], named[-1]) == ("14", "q7", "week3.csv, line 120")
    assert (
        several[0] == "Please score these answers again: the same typing got the points elsewhere."
    )
    assert [row.cells[0].text for row in kind.rows] == ["Several of these, together."]


def test_without_a_score_nothing_is_called_unfair(empty_book: Book) -> None:
    assert [table.rows for table in tables(empty_book)] == [[], [], []]


def test_what_too_few_typed_alike_is_not_given_as_the_accepted_form(book: Book) -> None:
    rows = book.frame("disagreements").assign(accepted=None)
    book._read["disagreements"] = rows
    first, *_ = tables(book)

    assert first.rows[0].cells[0].text == (
        "Please accept “5/2”: others with the same value got the points."
    )
