"""index.html: what the answers show, and what the other pages found."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import pandas as pd

from reports.pages.cautions import cautions, covers
from reports.pages.checks import scored_wrong
from reports.pages.class_sections import section_words
from reports.pages.latest_week import latest_week
from reports.pages.maps import error_map, pattern_map, topic_rates
from reports.pages.outcomes import PARAGRAPH
from reports.pages.patterns import in_order
from reports.parts import Behind, ErrorCard, Figure, Links, Page, Prose, Section
from reports.source import Book, of_term
from reports.tables import TRIES, Column, Table
from reports.words import quoted, setting_words

FIRST = "next-lesson.html"
"""The page whose finding opens the first page, too: what to do next."""
UNFAIR = "quality.html"
PASTED = " A paragraph on each is there to paste."
OPENED = "What students do{where}, how sure the order is, and a question to check each error with."


def index_page(book: Book, others: Sequence[Page]) -> Page:
    """Return the first page, which sums up `others`."""
    first, *rest = ((page.file, page.link, _found(page, book)) for page in others)
    scores = ((UNFAIR, "Scores that look unfair", said) for said in _unfair(book))
    return Page(
        file="index.html",
        link="Overview",
        question=f"What do {book.answers_of_term} show?",
        finding=next(page.finding for page in others if page.file == FIRST),
        covers=covers(book),
        sections=(
            *(Section("What students do", (card.worked,)) for card in _cards(others)[:1]),
            Section("In one sentence each", (Links((first, *_sections(book), *scores, *rest)),)),
            *latest_week(book),
            Section("Where errors happen", (Prose((_first_tries(book),)), _map(book))),
            *_by_week(book),
            Section("What was counted", (settings(book),)),
            cautions(book),
        ),
    )


def _cards(pages: Sequence[Page]) -> list[ErrorCard]:
    """The cards of the errors to take up, in order."""
    parts = (part for page in pages for section in page.sections for part in section.parts)
    return [part for part in parts if isinstance(part, ErrorCard)]


def _found(page: Page, book: Book) -> str:
    """What a page found; of the one whose finding opens this page, what else it holds."""
    where = "" if book.current("error_by_section").empty else ", in which class sections"
    opened = OPENED.format(where=where) if page.file == FIRST else page.finding
    return opened + (PASTED if any(one.heading == PARAGRAPH for one in page.sections) else "")


def _unfair(book: Book) -> Iterator[str]:
    """How many answers may have lost their points."""
    if scored := scored_wrong(book).removeprefix("; "):
        yield f"{scored[:1].upper()}{scored[1:]}. What to ask for stands there, row by row."


def _sections(book: Book) -> Iterator[tuple[str, str, str]]:
    """In which class sections the first error is common."""
    for pattern in in_order(book.current("pattern_prevalence"))["pattern"].head(1):
        if told := section_words(str(pattern), book):
            yield FIRST, f"Class sections with {quoted(str(pattern))}", told


def _first_tries(book: Book) -> str:
    now = book.current("headline").dropna(subset=["wrong"])
    if now.empty:
        return "There are not yet enough answers to say anything."
    row = now.iloc[0]
    return (
        f"{row['first_wrong']:,.0f} of {row['first_right'] + row['first_wrong']:,.0f} judged first "
        f"tries in {setting_words(book.setting)} were wrong."
    )


def _map(book: Book) -> Figure:
    """Return the map by topic and week, or rates by topic where no answer has a week."""
    cells = book.current("wrong_by_topic_week")
    topics = _topics(book)
    if cells.empty and len(topics):
        return topic_rates(topics, _topic_table(topics, book))
    return error_map(book)


def _topics(book: Book) -> pd.DataFrame:
    tries = book.current("wrong_by_try")
    tries = tries[(tries["grain"] == "first") & (tries["grouped_by"] == "topic")]
    known = book.frame("topic").set_index("topic")
    named = {name: tries["topic"].map(known[name]) for name in ("topic_title", "topic_position")}
    return tries.assign(**named).sort_values("topic_position").reset_index(drop=True)


def _topic_table(topics: pd.DataFrame, book: Book) -> Table:
    return book.table(
        "wrong_by_try",
        "wrong-by-topic",
        "Wrong first tries by topic",
        (
            Column("topic", ("topic_title",)),
            *TRIES,
        ),
        topics,
        left_out="No answer has a week.",
    )


def _by_week(book: Book) -> tuple[Section, ...]:
    order = [str(name) for name in in_order(book.current("pattern_prevalence"))["pattern"]]
    figure = pattern_map(order, book)
    return () if figure.empty else (Section("When each error happens", (figure, _how(book))),)


def settings(book: Book) -> Table:
    """Return what was counted, setting by setting."""
    rows = of_term(book.frame("headline"), book.term)
    return book.table(
        "headline",
        "what-was-counted",
        "Answers by setting, second and later tries included",
        (
            Column("setting", ("setting",), "setting"),
            Column("students", ("students",), "count"),
            Column("right", ("right",), "count"),
            Column("wrong", ("wrong",), "count"),
            Column("first tries right", ("first_right",), "count"),
            Column("first tries wrong", ("first_wrong",), "count"),
            Column("right if brackets were meant", ("right_if_meant",), "count"),
            Column("we could not read it", ("unreadable",), "count"),
            Column("blank", ("blank",), "count"),
        ),
        rows,
    )


def _how(book: Book) -> Behind:
    return Behind(
        (
            "A chance to show an error is a first try at a question on which the error leads to at "
            "least one answer that differs from the right one, and shows: left out are questions "
            "at which nobody gave an answer that is counted for it, although at its usual rate "
            "that would happen with a chance of less than 5%.",
            "Where several errors lead to the same answer, the answer is shared among them so that "
            "the whole class’s answers become most likely (expectation-maximization over the "
            "possible errors, with “no known error fits” among them). Errors that these questions "
            "cannot tell apart are listed together, under both names.",
            "The likely range is a 95% interval. It allows for students who answer many questions "
            "(sandwich variance over students, score-type limits).",
            f"Counted are first tries in {setting_words(book.setting)} only.",
        )
    )
