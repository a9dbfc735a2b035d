"""Each number in each sentence is a cell of a table; a number without one is no statement."""

from __future__ import annotations

from pathlib import Path

import duckdb
import pandas as pd
import pytest

import reports
from pipeline.run import run_course
from pipeline.run.conduct import DATABASE
from pipeline.warehouse import reading
from reports.pages import build_pages
from reports.render import render
from reports.source import Book
from tests.reports.conftest import Views
from tests.reports.sentences import at_odds, blocks, unfounded
from tests.student.small_course import small_course

TERM, SETTING = "f25", "practice"


@pytest.fixture(scope="module")
def rendered(views: Views) -> list[str]:
    book = Book(views)
    pages = build_pages(book)
    return [render(page, pages, book) for page in pages]


def told(rendered: list[str], views: Views, **others: pd.DataFrame) -> list[str]:
    """What the tables, some of them others than the pages were made from, do not hold."""
    database = duckdb.connect()
    for name, frame in {**views.frames, **others}.items():
        database.register(name, frame)
    return [what for page in rendered for what in unfounded(page, database, TERM, SETTING)]


def test_each_number_in_each_sentence_is_that_of_its_table(
    rendered: list[str], views: Views
) -> None:
    assert told(rendered, views) == []


@pytest.mark.parametrize(
    ("view", "column"),
    [
        ("own_pattern_prevalence", "recent_rate"),
        ("own_pattern_prevalence", "answers_ahead"),
        ("own_pattern_prevalence", "rate"),
        ("own_headline", "first_wrong"),
        ("own_headline", "unreadable"),
        ("own_coverage", "questions"),
        ("own_outcome_results", "share_low"),
        ("own_term_comparison", "difference"),
    ],
)
def test_a_sentence_that_says_another_number_than_its_table_is_found(
    view: str, column: str, rendered: list[str], views: Views
) -> None:
    frame = views.frames[view]
    other = frame.assign(**{column: frame[column] * 2 + 1})

    assert any(
        "the tables say otherwise" in what for what in told(rendered, views, **{view: other})
    )


def test_a_number_that_no_rule_names_is_found(views: Views) -> None:
    page = "<html><body><p>There are 17 of them.</p></body></html>"

    assert told([page], views) == ["no table is named for: There are 17 of them."]


@pytest.mark.thorough
def test_a_course_counted_by_hand_says_what_was_counted(tmp_path: Path) -> None:
    """Twelve students, three questions once each; the first, fourth, seventh and tenth err in all.

    So 12 of 36 first tries are wrong; each wrong answer is predicted by one known error.
    """
    course = small_course(tmp_path)
    run_course(course)
    with reading(course / DATABASE) as warehouse:
        reports.write(course, warehouse)
        files = (course / "reports" / "own").glob("*.html")
        own = {file.name: file.read_text("utf-8") for file in files}
        book = Book(warehouse)
        facts = warehouse._connection, book.term, book.setting
        found = [what for page in own.values() for what in unfounded(page, *facts)]
    overview, trust = (" ".join(blocks(own[name])) for name in ("index.html", "quality.html"))

    assert found == []
    assert "12 of 36 judged first tries in quizzes were wrong" in overview
    assert "Covers all 3 questions" in overview
    assert "Of 12 wrong answers, 12 are to questions whose errors can be told" in trust
    assert "every answer was read" in trust


def test_two_rates_of_one_error_and_two_orders_are_found(views: Views) -> None:
    book = Book(views)
    lesson = Book(views)
    rows = lesson.frame("pattern_prevalence")
    lesson._read["pattern_prevalence"] = rows.assign(rate=rows["rate"] / 2, rank=4 - rows["rank"])
    pages = [build_pages(book)[1], build_pages(lesson)[1]]

    assert at_odds(build_pages(book)) == []
    assert [what.split(" stands ")[0] for what in at_odds(pages) if "stands" in what]
    assert [what for what in at_odds(pages) if "has the rates" in what]
