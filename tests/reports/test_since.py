"""What the overview says of the time since the last run, which the run itself stored."""

from __future__ import annotations

import pandas as pd

from reports.pages.since import FEW, FIRST, since_last_run
from reports.parts import Listing, Prose
from reports.source import Book


def lines(book: Book) -> tuple[str, ...]:
    part = since_last_run(book)
    assert isinstance(part, Listing)
    return part.items


def test_five_lines_say_what_came_and_what_moved(book: Book) -> None:
    assert lines(book) == (
        "Answers: 2,000 are new, of 24,000 answers in Fall 2025.",
        "Among the first ten errors “minus b not negated” came up; “root upside down” went.",
        "New: after “Why the half is squared”, “half not squared”: 26% before, 15% after; other "
        "errors −2.0 points.",
        "To look at on the page on trust, and not before: question q7.",
        "The order began with “root upside down” and “half not squared, or square means double”, "
        "and begins now with “half not squared, or square means double” and “minus b not negated”.",
    )


def test_before_a_second_run_nothing_is_compared(book: Book) -> None:
    rows = book.frame("since").assign(stood=False, before=None)
    book._read["since"] = rows

    assert since_last_run(book) == Prose((FIRST,))


def test_what_stands_as_it_was_is_called_so(book: Book) -> None:
    rows = book.frame("since")
    rows = rows[rows["stands"]].assign(stood=True)
    book._read["since"] = rows.assign(before=rows["now"])
    answers, errors, lesson, questions, order = lines(book)

    assert answers.startswith("Answers: none is new")
    assert errors == "The first ten errors are those of the last run."
    assert lesson.startswith("After ")
    assert questions == "No question to look at was added."
    assert order.startswith("The order begins as before: ")


def test_a_few_new_answers_are_not_counted(book: Book) -> None:
    rows = book.frame("since")
    few = rows["before"].where(rows["kind"] != "answers", rows["now"] - 3)
    book._read["since"] = pd.DataFrame(rows.assign(before=few))

    assert lines(book)[0] == f"Answers: {FEW}, of 24,000 answers in Fall 2025."
