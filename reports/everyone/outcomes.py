"""outcomes.html for everyone: the department's page, class sections pooled."""

from __future__ import annotations

import pandas as pd

from reports.everyone.common import covers, hidden_counts, unless_withheld
from reports.pages.cautions import cautions
from reports.pages.outcomes import (
    against_target,
    evidence,
    how,
    outcomes_figure,
    outcomes_finding,
)
from reports.parts import Page, Part, Prose, Section
from reports.source import Book, of_term
from reports.tables import Column, Table
from reports.words import counted

__all__ = ["outcomes_page"]


def outcomes_page(book: Book) -> Page:
    """Return the department's page."""
    every = _judged(book)
    rows = of_term(every, book.term)
    page = Page(
        file="outcomes.html",
        link="Outcomes",
        question="How do the outcomes stand?",
        finding=outcomes_finding(rows, book.term_title),
        covers=covers(book, "Each outcome counts the settings that stand with it below."),
        sections=(
            Section("This semester", _figure_or_words(rows, book)),
            Section("What each outcome rests on", (evidence(rows, book),)),
            Section("Earlier semesters", (_earlier(every, book),)),
            cautions(book),
        ),
    )
    return unless_withheld(page, book, "outcome")


def _judged(book: Book) -> pd.DataFrame:
    rows = book.frame("outcome_results")
    limits = zip(rows["share_low"], rows["share_high"], rows["target"], strict=True)
    words = [against_target(low, high, target) for low, high, target in limits]
    bare = rows["share"].isna() & rows["target"].notna()
    statements = rows["statement"].str.rstrip(".")
    stands = pd.Series(words, index=rows.index, dtype=object).mask(bare, "hidden")
    return rows.assign(statement=statements, label=statements, stands=stands)


def _figure_or_words(rows: pd.DataFrame, book: Book) -> tuple[Part, ...]:
    if rows.empty:
        return (Prose(("The course names no outcomes.",)),)
    figure = outcomes_figure(rows, book.sql_file("outcome_results"))
    aside = int((rows["share"].notna() & rows["too_little"].isna()).sum())
    few = (
        f"How many have too little evidence is hidden for {counted(aside, 'outcome')}: fewer than "
        f"{book.limit} students."
        if aside
        else ""
    )
    hidden = f"{hidden_counts(rows, 'share', 'outcome')} {few}".strip()
    return (figure, *((Prose((hidden,)),) if hidden else ()), how())


def _earlier(rows: pd.DataFrame, book: Book) -> Table:
    titles = book.frame("term").set_index("term")
    old = rows[rows["term"] != book.term]
    old = old.assign(
        term_title=old["term"].map(titles["title"]), position=old["term"].map(titles["position"])
    ).sort_values(["position", "outcome"], ascending=[False, True])
    return Table(
        "earlier-outcomes",
        "The same outcomes in earlier semesters",
        (
            Column("semester", ("term_title",)),
            Column("outcome", ("statement",)),
            Column("met the bar", ("share",), "percent"),
            Column("likely range", ("share_low", "share_high"), "range"),
            Column("students", ("students",), "count"),
            Column("target", ("target",), "percent"),
        ),
        old,
        left_out=(
            f"{hidden_counts(old, 'share', 'row')} Questions may differ between semesters, so "
            "these are no comparison; the semester page compares common questions."
        ).strip(),
        made_by=book.sql_file("outcome_results"),
    )
