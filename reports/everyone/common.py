"""What the pages for everyone have in common: what they cover, hide, and are no basis for."""

from __future__ import annotations

from dataclasses import replace

import pandas as pd

from reports.pages.cautions import cautions
from reports.pages.cautions import covers as own_covers
from reports.parts import Page
from reports.source import Book
from reports.words import counted, missing, percent

__all__ = ["covers", "dated", "hidden_counts", "shown_rate", "unless_withheld"]

WITHHELD = (
    "This page is withheld: its tables could not be proved safe, so a small group of students "
    "might have been worked out from them."
)


def covers(book: Book, what: str = "") -> str:
    """Say what the pages cover, as the own edition does, and that class sections are pooled.

    Args:
        book: the course's numbers.
        what: what the page's rates count, one sentence; the main setting unless given.
    """
    return f"{own_covers(book, what)} Class sections are always pooled."


def shown_rate(rate: float | None, code: str | None) -> str:
    """Return a share as the page prints it: whole percents, its code, or a dash."""
    if not missing(rate):
        return percent(round(float(rate or 0), 2))
    return "–" if missing(code) else str(code)


def hidden_counts(frame: pd.DataFrame, value: str, noun: str = "row") -> str:
    """Say how many rows of a table are hidden, coded or carried over; empty when none is.

    Args:
        frame: rows with `value`, `code` and, where there is one, `as_of`.
        value: the column that is missing where a row is hidden.
        noun: what a row is.
    """
    code = frame["code"] if "code" in frame else pd.Series(None, index=frame.index, dtype=object)
    bare = frame[value].isna() & code.isna()
    note = frame["note"].fillna("").astype(str)
    hidden = bare & note.str.startswith("hidden")
    sentences = []
    if hidden.any():
        sentences.append(f"Hidden: {hidden.sum():,} of {counted(len(frame), noun)}.")
    if code.notna().any():
        sentences.append(
            f"In {counted(int(code.notna().sum()), noun)} a share near none or all is only said "
            "to be so."
        )
    if "as_of" in frame and frame["as_of"].notna().any():
        old = counted(int(frame["as_of"].notna().sum()), noun)
        sentences.append(f"{old} still show an earlier edition’s figures.")
    return " ".join(sentences)


def dated(frame: pd.DataFrame) -> pd.DataFrame:
    """Return the frame with `printed`: the share, or what stands in its place."""
    pairs = zip(frame["rate"], frame["code"], strict=True)
    return frame.assign(printed=[shown_rate(rate, code) for rate, code in pairs])


def unless_withheld(page: Page, book: Book, subject: str) -> Page:
    """Return the page, or one that says it is withheld, where its tables failed their audit.

    Args:
        page: the page.
        book: the course's numbers.
        subject: `wrong`, `outcome` or `error`: which tables the page reads.
    """
    audits = book.frame("audit")
    failed = audits[(audits["subject"] == subject) & ~audits["passed"].astype(bool)]
    if failed.empty:
        return page
    named = failed["term_title"].fillna(failed["term"]).replace("", "all semesters")
    terms = ", ".join(sorted({str(term) for term in named}))
    finding = f"{WITHHELD} Affected: {terms}."
    return replace(page, finding=finding, sections=(cautions(book),))
