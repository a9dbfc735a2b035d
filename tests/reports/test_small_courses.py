"""Courses with little to tell: their pages say so in whole sentences and draw nothing empty."""

from __future__ import annotations

import re

import pytest

from reports.pages import build_pages
from reports.render import render
from reports.source import UNDATED, Book
from tests.reports.conftest import Views


def texts(book: Book) -> dict[str, str]:
    pages = build_pages(book)
    found = {}
    for page in pages:
        bare = re.sub(r"<(script|style).*?</\1>", " ", render(page, pages, book), flags=re.DOTALL)
        found[page.file] = re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", bare))
    return found


@pytest.fixture(scope="module")
def faultless(views: Views) -> dict[str, str]:
    """Every answer is right: errors have chances and a rate of 0, and nothing was laid to them."""
    book = Book(views)
    book._read["headline"] = book.frame("headline").assign(wrong=0, tagged=None, unreadable=0)
    for view in ("wrong_by_topic_week", "pattern_prevalence"):
        book._read[view] = book.frame(view).assign(rate=0.0, expected_errors=0.0, rank=None)
    summary = book.frame("next_lesson_summary")
    sentence = "Nothing stands out: no known error is common."
    book._read["next_lesson_summary"] = summary.assign(
        verdict="nothing stands out", sentence=sentence
    )
    return texts(book)


@pytest.mark.parametrize("file", ["index.html", "next-lesson.html", "quality.html"])
def test_nothing_that_is_not_a_number_reaches_a_page(file: str, faultless: dict[str, str]) -> None:
    assert not re.search(r"\b(nan|None|NaT)\b", faultless[file])


def test_where_all_is_right_no_error_and_no_topic_is_put_first(faultless: dict[str, str]) -> None:
    overview, lesson = faultless["index.html"], faultless["next-lesson.html"]

    assert "No first try was wrong" in overview
    assert "No known error was made often enough to be named" in lesson
    assert "At the top of the list" not in lesson
    assert "What to take up" not in lesson
    assert "No answer was wrong; every answer was read" in faultless["quality.html"]


def test_where_no_answer_has_a_week_topics_are_shown_without(book: Book) -> None:
    for view in ("wrong_by_topic_week", "error_by_topic_week"):
        book._read[view] = book.frame(view).iloc[:0]
    topics = book.frame("wrong_by_try").assign(grouped_by="topic", topic="t3")
    book._read["wrong_by_try"] = topics
    overview = texts(book)["index.html"]

    assert "Most trouble: Completing the square, wrong in 24% of 3,600 first tries" in overview
    assert "When each error happens" not in overview


def test_a_course_without_semesters_is_not_said_to_have_one(book: Book) -> None:
    book._read["course"] = book.frame("course").assign(current_term_title=UNDATED)

    assert "What do all answers show?" in texts(book)["index.html"]


def test_an_empty_table_is_a_sentence(book: Book) -> None:
    book._read["rejected"] = book.frame("rejected").iloc[:0]

    assert "Rejected rows by file and reason : none." in texts(book)["quality.html"]
