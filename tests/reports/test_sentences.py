"""Each number in each sentence is a cell of a table; a number without one is no statement."""

from __future__ import annotations

from pathlib import Path

import duckdb
import pytest

import reports
from pipeline.run import run_course
from pipeline.run.conduct import DATABASE
from pipeline.warehouse import reading
from reports.pages import build_pages
from reports.render import render
from reports.source import Book
from tests.reports.conftest import Views
from tests.reports.sentences import blocks, unfounded
from tests.student.small_course import small_course


def tables(book: Book) -> duckdb.DuckDBPyConnection:
    """The literal views as tables of a database."""
    database = duckdb.connect()
    for name, frame in book.source.frames.items():  # type: ignore[attr-defined]
        database.register(name, frame)
    return database


def told(book: Book) -> list[str]:
    pages = build_pages(book)
    database = tables(book)
    return [
        f"{page.file}: {what}"
        for page in pages
        for what in unfounded(render(page, pages, book), database, book.term, book.setting)
    ]


def test_each_number_in_each_sentence_is_that_of_its_table(book: Book) -> None:
    assert told(book) == []


@pytest.mark.parametrize(
    ("view", "column"),
    [
        ("next_lesson", "recent_rate"),
        ("next_lesson", "answers_ahead"),
        ("pattern_prevalence", "rate"),
        ("headline", "first_wrong"),
        ("headline", "unreadable"),
        ("coverage", "questions"),
        ("outcome_results", "share_low"),
        ("term_comparison", "difference"),
    ],
)
def test_a_sentence_that_says_another_number_than_its_table_is_found(
    view: str, column: str, views: Views
) -> None:
    """The pages are given other figures than the tables that the sentences are set against."""
    book = Book(views)
    moved = book.frame(view)
    book._read[view] = moved.assign(**{column: moved[column] * 2 + 1})

    assert any("the tables say otherwise" in what for what in told(book))


@pytest.mark.thorough
def test_a_course_counted_by_hand_says_what_was_counted(tmp_path: Path) -> None:
    """Twelve students, three questions once each; the first, fourth, seventh and tenth err in all.

    So 12 of 36 first tries are wrong; each wrong answer is predicted by one known error.
    """
    course = small_course(tmp_path)
    run_course(course)
    with reading(course / DATABASE) as warehouse:
        reports.write(course, warehouse)
        own = {
            file.name: file.read_text("utf-8") for file in (course / "reports/own").glob("*.html")
        }
        facts = warehouse._connection, "2026-spring", "practice"
        found = [what for page in own.values() for what in unfounded(page, *facts)]
    overview, trust = (" ".join(blocks(own[name])) for name in ("index.html", "quality.html"))

    assert found == []
    assert "12 of 36 judged first tries in practice questions were wrong" in overview
    assert "Covers all 3 questions" in overview
    assert "Of 12 wrong answers, 12 are to questions whose errors can be told" in trust
    assert "every answer was read" in trust


def test_a_number_that_no_rule_names_is_found(book: Book) -> None:
    book._read["default"] = book.frame("default").assign(sentence="There are 17 of them.")

    assert any("no table is named for: There are 17" in what for what in told(book))
