"""outcomes.html: how the course's outcomes stand, class sections pooled, in both editions."""

from __future__ import annotations

from collections.abc import Iterator

import pandas as pd

from reports.pages.cautions import cautions, covers
from reports.pages.changed_counts import dated
from reports.pages.outcome_parts import (
    CHANGED,
    earlier_semesters,
    evidence,
    how,
    in_course_order,
    judged,
    outcomes_figure,
    outcomes_finding,
)
from reports.pages.outcome_words import paragraphs, questions_behind
from reports.parts import Page, Prose, Section
from reports.source import Book
from reports.tables import Column, Table
from reports.words import joined

PARAGRAPH = "A paragraph to paste"
COVERS = {
    "own": "Each outcome counts the settings that stand with it below.",
    "shared": (
        "Outcomes are counted once a semester is closed, each in the settings that stand with it "
        "below."
    ),
}
NONE = {
    "own": (
        "Add outcomes to the course file, with the topics that belong to each, and this page says "
        "how many students meet them."
    ),
    "shared": "The course names no outcomes.",
}
CALLS = {
    "own": "is too close to tell",
    "shared": (
        "is not told by changed counts: they make the interval wider, and it is rounded outward, "
        "so that exact counts, in the pages for those who teach, may tell it"
    ),
}
FEWEST = (
    "The fewest questions are the course’s own choice (`fewest` in the course file); the pages for "
    "everyone may ask for more, so that no share tells what one student got right."
)


def outcomes_page(book: Book) -> Page:
    """Return the department's page."""
    every = _standing(book)
    rows, earlier = every[every["term"] == book.term], every[every["term"] != book.term]
    return Page(
        file="outcomes.html",
        link="Outcomes",
        question="How do the outcomes stand?",
        finding=outcomes_finding(rows),
        covers=covers(book, COVERS[book.edition]),
        sections=(*_sections(rows, earlier, book), cautions(book)),
    )


def _standing(book: Book) -> pd.DataFrame:
    """Outcomes of all terms, class sections pooled, in the course's order."""
    rows = in_course_order(book.frame("outcome_results"), book)
    if book.edition == "own":
        return judged(rows[rows["section"] == "all"])
    rows = judged(dated(rows, "share"), CHANGED)
    bare = rows["share"].isna() & rows["target"].notna()
    return rows.assign(stands=rows["stands"].mask(bare, "hidden"))


def _sections(rows: pd.DataFrame, earlier: pd.DataFrame, book: Book) -> Iterator[Section]:
    own = book.edition == "own"
    if rows.empty:
        yield Section("This semester", (Prose((NONE[book.edition],)),))
    else:
        figure = outcomes_figure(rows, earlier, book)
        yield Section("This semester", (figure, how(CALLS[book.edition])))
        yield Section(PARAGRAPH, paragraphs(rows, earlier, book))
        behind = (questions_behind(rows, book),) if own else ()
        why = FEWEST if own else _raised(rows)
        yield Section("What each outcome rests on", (evidence(rows, book, why), *behind))
        if own:
            yield Section("If the bar stood elsewhere", (_moved_bar(rows, book),))
    if len(earlier):
        yield Section("Earlier semesters", (earlier_semesters(earlier, book),))


def _raised(rows: pd.DataFrame) -> str:
    """Why fewer students are counted for everyone than the course file asks for."""
    raised = rows[rows["fewest"] > rows["fewest_of_course"]]
    if raised.empty:
        return ""
    own = joined(f"{number:,.0f}" for number in sorted(set(raised["fewest_of_course"])))
    return (
        f"The course file asks for {own} questions; here it takes {raised['fewest'].iloc[0]:,.0f}, "
        "since of fewer, whether a student meets the bar nearly tells how many were right."
    )


def _moved_bar(rows: pd.DataFrame, book: Book) -> Table:
    return book.table(
        "outcome_results",
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
    )
