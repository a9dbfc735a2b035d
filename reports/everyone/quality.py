"""quality.html for everyone: how far to trust these pages, and what they hide and change."""

from __future__ import annotations

from reports.pages.cautions import cautions, covers
from reports.pages.changed_counts import how_perturbed
from reports.pages.moved import moved_parts
from reports.pages.quality import PLACES, defaults_used
from reports.parts import Page, Section
from reports.source import Book
from reports.tables import Column, Table
from reports.words import points


def quality_page(book: Book) -> Page:
    """Return the page on how far to trust the others, and on what is hidden and changed."""
    return Page(
        file="quality.html",
        link="How far to trust this",
        question="How far can these pages be trusted, and what do they hide?",
        finding=_finding(book),
        covers=covers(book),
        sections=(
            Section("What is covered", (_coverage(book), how_perturbed(book))),
            Section("What moved since the published edition", moved_parts(book)),
            Section("What was taken for granted", defaults_used(book)),
            cautions(book),
        ),
    )


def _finding(book: Book) -> str:
    rows = book.current("wrong")
    topics = rows[rows["grain"] == "topic"]
    added = topics["added"].dropna()
    if added.empty:
        return "There are no tables for everyone yet."
    return (
        f"{len(added)} of {len(topics)} topics are shown; changing the counts moves the share of a "
        f"topic by no more than {points(added.max()).removeprefix('+')}, almost surely."
    )


def _coverage(book: Book) -> Table:
    rows = book.frame("coverage").sort_values("questions", ascending=False)
    return book.table(
        "coverage",
        "coverage",
        "Questions of the course’s list by what can be done with them",
        (Column("kind of question", ("label",)), Column("questions", ("questions",), "count")),
        rows.assign(label=[PLACES.get(str(place), str(place)) for place in rows["place"]]),
    )
