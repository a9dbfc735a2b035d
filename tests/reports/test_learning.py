"""What the pages say of learning from question to question, and what they must not say."""

from __future__ import annotations

import pytest

from pipeline.statistics.additive_factors import SAME_ORDER
from reports.pages.learning import OPEN, learning_parts
from reports.pages.next_lesson import next_lesson_page
from reports.parts import ErrorCard, Prose
from reports.source import Book
from reports.tables import Table


def test_a_topic_is_told_by_its_first_and_last_question(book: Book) -> None:
    words, table, *_ = learning_parts(book)

    assert isinstance(words, Prose)
    assert words.paragraphs == (
        "Later questions on a topic went better in 1 of 2 topics; in 1 there are too few answers "
        "to say.",
    )
    assert isinstance(table, Table)
    (row,) = table.rows  # the other topic is hidden
    assert [cell.text for cell in row.cells] == [
        "Completing the square", "33%", "34%", "28%", "30%", "2", "180", "fewer errors"
    ]  # fmt: skip


def test_a_trend_that_is_not_settled_is_not_called_a_help(book: Book) -> None:
    book._read["learning_slope"] = book.frame("learning_slope").assign(p_adjusted=0.06)
    words, table, *_ = learning_parts(book)

    assert isinstance(words, Prose)
    assert words.paragraphs[0].startswith("In none of 2 topics are there enough answers to say")
    assert isinstance(table, Table)
    assert table.rows[0].cells[-1].text == OPEN


def test_one_order_for_all_tells_nothing_and_says_so(book: Book) -> None:
    """The shares stay; no trend, no direction."""
    blank = dict.fromkeys(["slope", "slope_low", "slope_high", "first_wrong", "last_wrong"], None)
    slopes = book.frame("learning_slope").assign(note=SAME_ORDER, p_adjusted=None, **blank)
    book._read["learning_slope"] = slopes
    words, table, *_ = learning_parts(book)

    assert isinstance(words, Prose)
    assert words.paragraphs[0].startswith("2 topics: cannot tell")
    assert isinstance(table, Table)
    assert table.rows[0].cells[-1].text == "–"


def test_answers_without_an_order_get_a_sentence_and_no_chart(book: Book) -> None:
    for view in ("learning_slope", "learning_curve"):
        book._read[view] = book.frame(view).iloc[:0]
    (words,) = learning_parts(book)

    assert isinstance(words, Prose)
    assert words.paragraphs[0].startswith("Cannot tell")


def test_the_page_opens_with_the_first_error_and_its_rate(book: Book) -> None:
    page = next_lesson_page(book)

    assert page.finding == (
        "Next, take up “half not squared, or square means double”: 21% of 1,480 chances to "
        "show it (likely 18% to 25%) in the whole semester, lately 22% of 760 chances (likely 18% "
        "to 27%), and it may still cost 112 answers. It clearly belongs among the first three to "
        "treat."
    )
    card = page.sections[0].parts[0]
    assert isinstance(card, ErrorCard)
    assert card.worked.name.startswith("Half not squared")


def test_after_the_last_week_the_page_speaks_of_the_final_and_next_semester(book: Book) -> None:
    book._read["course"] = book.frame("course").assign(current_week=15)

    assert next_lesson_page(book).finding.startswith("For the final and next semester, take up")


@pytest.mark.parametrize("verdict", ["nothing stands out", "cannot tell yet"])
def test_no_error_is_put_first_where_none_is(book: Book, verdict: str) -> None:
    summary = book.frame("next_lesson_summary").assign(verdict=verdict, sentence="Nothing does.")
    book._read["next_lesson_summary"] = summary

    assert next_lesson_page(book).finding == "Nothing does."
