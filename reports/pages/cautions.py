"""What every reader is told before using a number, in the same words on every page."""

from __future__ import annotations

from reports.parts import Listing, Section
from reports.source import Book

__all__ = ["cautions", "covers", "setting_words"]

SETTINGS = {
    "practice": "practice questions",
    "quiz": "quizzes",
    "exam": "exams",
}


_HIDING = {
    "own": (
        "Groups of fewer than {limit} students are hidden, in the charts’ data too. Small groups "
        "that are shown still deserve care."
    ),
    "shared": (
        "Groups, numerators and complements of fewer than {limit} students appear nowhere in this "
        "edition: not in a table, a chart’s data or a file, nor by subtraction from another table, "
        "page or earlier edition."
    ),
}


def cautions(book: Book) -> Section:
    """Return the closing section: what these pages are no basis for."""
    return Section(
        "Before you use this",
        (
            Listing(
                (
                    "An error pattern describes an answer, not a person. The same wrong answer can "
                    "come about in several ways, so each pattern names a possible reason.",
                    "Nothing here is a basis for a score, for suspecting anyone of copying, or for "
                    "judging instructors.",
                    _HIDING[book.edition].format(limit=book.limit),
                    "What may be kept, shown and passed on is decided by your institution’s policy "
                    "and by local law; where these are stricter than this page, they come first.",
                )
            ),
        ),
    )


def covers(book: Book, counted: str = "") -> str:
    """Say how many of the term's questions the pages cover, and which setting they count.

    Args:
        book: the course's numbers.
        counted: what the page's rates count, one sentence; the main setting unless given.
    """
    rates = f"Rates count first tries in {setting_words(book.setting)}; no rate mixes settings."
    now = book.current("headline").dropna(subset=["questions_asked"])
    if now.empty:
        return f"No question of {book.term_title} has been asked of enough students yet."
    row = now.iloc[0]
    rest = [
        (row["questions_judged"], "only judged right or wrong"),
        (row["questions_skipped"], "not looked at (graphs, essays, uploads)"),
    ]
    also = "".join(f"; {count:,.0f} more {what}" for count, what in rest if count and count > 0)
    return (
        f"Covers {row['questions_covered']:,.0f} of the {row['questions_asked']:,.0f} questions "
        f"asked in {book.term_title}{also}. "
        f"{counted or rates}"
    )


def setting_words(setting: str) -> str:
    """Return a setting as a page calls it."""
    return SETTINGS.get(setting, setting)
