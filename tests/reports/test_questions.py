"""What the page on trust says of questions, quizzes and options."""

from __future__ import annotations

from reports.pages.questions import flagged, options, questions, quiz_scores
from reports.source import Book
from reports.tables import Table


def test_only_questions_with_a_reason_are_listed(book: Book) -> None:
    table = flagged(book)

    assert table.frame["item"].tolist() == ["q2"]
    assert "gave no reason for a look" in table.left_out
    assert "fewer than 30 students" in table.left_out


def test_quizzes_without_a_figure_are_counted_not_listed(book: Book) -> None:
    (table,) = quiz_scores(book)

    assert isinstance(table, Table)
    assert table.frame["quiz"].tolist() == ["Quiz 1"]
    assert table.left_out.startswith("2 of 3 quizzes")


def test_the_right_option_stands_first_and_rare_ones_have_no_count(book: Book) -> None:
    (table,) = options(book)

    assert isinstance(table, Table)
    assert table.frame["stands"].tolist() == [
        "right", "“half not squared”", "no known error"
    ]  # fmt: skip
    assert table.frame["chosen"].isna().tolist() == [False, False, True]


def test_nothing_to_say_says_nothing(empty_book: Book) -> None:
    assert quiz_scores(empty_book) == ()
    assert options(empty_book) == ()
    assert len(questions(empty_book)) == 2
