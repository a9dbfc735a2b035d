"""What the pages for everyone have in common: what they hide and add."""

from __future__ import annotations

import pandas as pd

from reports.parts import Behind
from reports.source import Book
from reports.tables import Column
from reports.words import missing, percent

FIGURES = (
    Column("likely range", ("rate_low", "rate_high"), "range"),
    Column("of it from changed counts", ("plus_minus",), "printed"),
)
"""Columns that stand beside every share; see `dated`."""

SEMESTER = 30
"""Weeks that no semester has."""


def shown_rate(rate: float | None, code: str | None) -> str:
    """Return a share as the page prints it: whole percents, its code, or a dash."""
    if not missing(rate):
        return percent(round(float(rate or 0), 2))
    return "–" if missing(code) else str(code)


def dated(frame: pd.DataFrame, rate: str = "rate") -> pd.DataFrame:
    """Return the frame with `printed`, the share or what stands in its place, and `plus_minus`.

    Args:
        frame: rows with `rate`, `code` and `added`.
        rate: the column of the share.
    """
    pairs = zip(frame[rate], frame["code"], strict=True)
    return frame.assign(
        printed=[shown_rate(share, code) for share, code in pairs],
        plus_minus=["–" if missing(add) else f"±{100 * add:.1f}" for add in frame["added"]],
    )


def how_perturbed(book: Book, *more: str) -> Behind:
    """Return how the counts came to be what they are.

    Args:
        book: the course's numbers.
        more: further sentences.
    """
    weeks = int(book.course.get("shared_weeks") or 1)
    several = "a semester" if weeks > SEMESTER else f"{weeks} teaching weeks"
    period = "a teaching week" if weeks == 1 else several
    return Behind(
        (
            *more,
            f"What is published is one partition: first tries of each semester, setting and topic "
            f"by closed periods of {period}, each answer in one of them; of these the wrong ones, "
            "and those that count for each error; students by outcome once a semester is closed. A "
            "semester’s or topic’s count is the sum of its parts. A part waits until enough "
            "students took part; a row is shown where its perturbed counts, of what counts and of "
            "the rest, are large.",
            "Each of these counts is perturbed by the cell-key method of official statistics: a "
            "whole number with mean 0 and fixed variance is added, picked by a key that the "
            "students’ secret keys make together. The same answers always get the same; one "
            "student more, less or changed gets another. Shares come from perturbed counts. The "
            "likely range is a 95% interval that allows for students who answer many questions "
            "and for what was added; “of it from changed counts” is the part, in points, that "
            "adding alone would make.",
            "Each answer is counted once and printed once: a count that was printed stays as it "
            "is, whatever is corrected, renamed or erased later; a late answer is counted with a "
            "later period.",
        )
    )
