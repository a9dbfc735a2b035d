"""outcomes.html for everyone: the department's page, class sections pooled."""

from __future__ import annotations

import pandas as pd

from reports.everyone.common import covers, dated, hidden_counts
from reports.pages.cautions import cautions
from reports.pages.outcome_parts import (
    CHANGED,
    earlier_section,
    evidence,
    how,
    in_course_order,
    judged,
    outcomes_figure,
    outcomes_finding,
)
from reports.parts import Page, Part, Prose, Section
from reports.source import Book
from reports.words import joined

_NOISE = (
    "is not told by changed counts: they make the interval wider, and it is rounded outward, so "
    "that exact counts, in the pages for those who teach, may tell it"
)


def outcomes_page(book: Book) -> Page:
    """Return the department's page."""
    every = _judged(book)
    rows, earlier = every[every["term"] == book.term], every[every["term"] != book.term]
    rests = (
        (Section("What each outcome rests on", (evidence(rows, book, _fewest(rows)),)),)
        if len(rows)
        else ()
    )
    return Page(
        file="outcomes.html",
        link="Outcomes",
        question="How do the outcomes stand?",
        finding=outcomes_finding(rows),
        covers=covers(
            book,
            "Outcomes are counted once a semester is closed, each in the settings that stand with "
            "it below.",
        ),
        sections=(
            Section("This semester", _figure_or_words(rows, book)),
            *rests,
            *earlier_section(earlier, book, hidden_counts(earlier, "row")),
            cautions(book),
        ),
    )


def _judged(book: Book) -> pd.DataFrame:
    rows = judged(in_course_order(dated(book.frame("outcome_results"), "share"), book), CHANGED)
    bare = rows["share"].isna() & rows["target"].notna()
    return rows.assign(stands=rows["stands"].mask(bare, "hidden"))


def _fewest(rows: pd.DataFrame) -> str:
    """Why fewer students are counted here than the course file asks for."""
    raised = rows[rows["fewest"] > rows["fewest_of_course"]]
    if raised.empty:
        return ""
    own = joined(f"{number:,.0f}" for number in sorted(set(raised["fewest_of_course"])))
    return (
        f"The course file asks for {own} questions; here it takes {raised['fewest'].iloc[0]:,.0f}, "
        "since of fewer, whether a student meets the bar nearly tells how many were right."
    )


def _figure_or_words(rows: pd.DataFrame, book: Book) -> tuple[Part, ...]:
    if rows.empty:
        return (Prose(("The course names no outcomes.",)),)
    figure = outcomes_figure(rows, book.sql_file("outcome_results"))
    hidden = hidden_counts(rows, "outcome")
    return (figure, *((Prose((hidden,)),) if hidden else ()), how(_NOISE))
