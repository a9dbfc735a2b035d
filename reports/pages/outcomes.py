"""outcomes.html: how the course's outcomes stand, class sections pooled."""

from __future__ import annotations

import pandas as pd

from reports.pages.cautions import cautions, covers
from reports.pages.outcome_parts import (
    earlier_section,
    evidence,
    how,
    in_course_order,
    judged,
    outcomes_figure,
    outcomes_finding,
)
from reports.pages.outcome_words import paragraphs, questions_behind
from reports.parts import Page, Part, Prose, Section
from reports.source import Book
from reports.tables import Column, Table, hidden_rows

FEWEST = (
    "The fewest questions are the course’s own choice (`fewest` in the course file); the pages for "
    "everyone may ask for more, so that no share tells what one student got right."
)


def outcomes_page(book: Book) -> Page:
    """Return the department's page."""
    every = _pooled(book)
    rows, earlier = every[every["term"] == book.term], every[every["term"] != book.term]
    return Page(
        file="outcomes.html",
        link="Outcomes",
        question="How do the outcomes stand?",
        finding=outcomes_finding(rows),
        covers=covers(book, "Each outcome counts the settings that stand with it below."),
        sections=(
            Section("This semester", _figure_or_words(rows, book)),
            *_rests(rows, earlier, book),
            *earlier_section(earlier, book, hidden_rows(earlier)),
            cautions(book),
        ),
    )


def _pooled(book: Book) -> pd.DataFrame:
    rows = book.frame("outcome_results")
    return judged(in_course_order(rows[rows["section"] == "all"], book))


def _figure_or_words(rows: pd.DataFrame, book: Book) -> tuple[Part, ...]:
    if rows.empty:
        return (
            Prose(
                (
                    "Add outcomes to the course file, with the topics that belong to each, and "
                    "this page says how many students meet them.",
                )
            ),
        )
    return (outcomes_figure(rows, book.sql_file("outcome_results")), how())


def _rests(rows: pd.DataFrame, earlier: pd.DataFrame, book: Book) -> tuple[Section, ...]:
    if rows.empty:
        return ()
    return (
        Section("A paragraph to paste", paragraphs(rows, earlier, book)),
        Section(
            "What each outcome rests on",
            (evidence(rows, book, FEWEST), questions_behind(rows, book)),
        ),
        Section("If the bar stood elsewhere", (_moved_bar(rows, book),)),
    )


def _moved_bar(rows: pd.DataFrame, book: Book) -> Table:
    return Table(
        "moved-bar",
        "Share of students who would meet a bar ten points lower or higher",
        (
            Column("outcome", ("statement",)),
            Column("ten points lower", ("share_bar_lower",), "percent"),
            Column("likely range", ("share_bar_lower_low", "share_bar_lower_high"), "range"),
            Column("as set", ("share",), "percent"),
            Column("likely range", ("share_low", "share_high"), "range"),
            Column("ten points higher", ("share_bar_higher",), "percent"),
            Column("likely range", ("share_bar_higher_low", "share_bar_higher_high"), "range"),
            Column("students", ("students",), "count"),
        ),
        rows,
        left_out=hidden_rows(rows),
        made_by=book.sql_file("outcome_results"),
    )
