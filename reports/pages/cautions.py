"""What every reader is told before using a number, in the same words on every page."""

from __future__ import annotations

from reports.parts import Listing, Section
from reports.source import Book, of_term
from reports.words import missing, setting_words

REST = {
    "task": "of tasks in which no error can be told",
    "choice": "with options that show no known error",
    "judge": "only judged right or wrong",
    "skip": "not looked at (graphs, essays, uploads)",
    "unlisted": "not in the items file",
    "unread": "not to be read",
}

_HIDING = {
    "own": (
        "Groups of fewer than {limit} students are hidden, in the charts’ data too. Small groups "
        "that are shown still deserve care."
    ),
    "shared": (
        "Groups of fewer than {limit} students, counted or left over, appear nowhere in this "
        "edition. Every count is changed a little, so that subtracting it from another one, or "
        "from an earlier edition, tells of no single student; small differences mean nothing."
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


def covers(book: Book, what: str = "") -> str:
    """Say what the pages cover: how many questions, or which closed periods, and which setting.

    Args:
        book: the course's numbers.
        what: what the page's rates count, one sentence; the main setting unless given.
    """
    rates = f"Rates count first tries in {setting_words(book.setting)}; no rate mixes settings."
    if book.edition == "shared":
        return _closed(book, what or rates)
    rates += " A chance to show an error is a first try at a question that can bring it out."
    now = of_term(book.frame("coverage"), book.term)
    if now.empty:
        return "No question has been asked yet."
    inside = now["covered"].astype(bool)
    rest = now[~inside].groupby("place")["questions"].sum()
    also = "".join(
        f"; {rest[place]:,} {words}" for place, words in REST.items() if place in rest.index
    )
    some, asked = now.loc[inside, "questions"].sum(), now["questions"].sum()
    share = f"all {asked:,}" if some == asked > 1 else f"{some:,} of the {asked:,}"
    return (
        f"Covers {share} {'question' if asked == 1 else 'questions'} in "
        f"{book.answers_of_term}{also}. "
        f"{what or rates}"
    )


def _closed(book: Book, what: str) -> str:
    week = book.course.get("current_week")
    if missing(week):
        return "Nothing is shown before a period is closed and enough students stand behind it."
    until = f" up to the end of teaching week {week:.0f}" if week else ""
    return (
        f"Counts {book.answers_of_term}{until}; every count is changed a little. {what} "
        "Class sections are always pooled."
    )
