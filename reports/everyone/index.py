"""index.html for everyone: right and wrong first tries by topic and week."""

from __future__ import annotations

from collections.abc import Sequence

import pandas as pd

from reports.everyone.common import covers, dated, hidden_counts, unless_withheld
from reports.pages.cautions import cautions
from reports.pages.maps import topic_map, topic_rates
from reports.parts import Behind, Figure, Links, Page, Section
from reports.source import Book
from reports.tables import Column, Table
from reports.words import percent, span

__all__ = ["index_page"]


def index_page(book: Book, others: Sequence[Page]) -> Page:
    """Return the first page, which sums up `others`."""
    rows = dated(book.current("wrong"))
    page = Page(
        file="index.html",
        link="Overview",
        question=f"What do {book.answers_of_term} show?",
        finding=_finding(rows, book),
        covers=covers(book),
        sections=(
            Section(
                "In one sentence each",
                (Links(tuple((page.file, page.link, page.finding) for page in others)),),
            ),
            Section("Which topics", (_by_topic(rows, book), _how(book))),
            Section("When", (_map(rows, book), _by_week(rows, book))),
            cautions(book),
        ),
    )
    return unless_withheld(page, book, "wrong")


def _finding(rows: pd.DataFrame, book: Book) -> str:
    whole = rows[(rows["grain"] == "term") & rows["wrong"].notna()]
    if whole.empty:
        return "There are not enough answers yet to be shown to everyone."
    row = whole.iloc[0]
    rate = span(row["rate_low"], row["rate_high"])
    return (
        f"{row['wrong']:,.0f} of {row['answers']:,.0f} first tries were wrong: "
        f"{percent(row['rate'])}, likely {rate}."
    )


def _by_topic(rows: pd.DataFrame, book: Book) -> Figure:
    topics = rows[rows["grain"] == "topic"].sort_values("topic_position")
    table = Table(
        "wrong-by-topic",
        "Wrong first tries by topic",
        (Column("topic", ("topic_title",)), *_COUNTS),
        topics,
        left_out=hidden_counts(topics, "rate", "topic"),
        made_by=book.sql_file("wrong"),
    )
    return topic_rates(topics.assign(students=topics["students_at_least"]), table)


_COUNTS = (
    Column("wrong", ("printed",), "printed"),
    Column("likely range", ("rate_low", "rate_high"), "range"),
    Column("first tries", ("answers",), "count"),
    Column("wrong first tries", ("wrong",), "count"),
    Column("right first tries", ("right",), "count"),
    Column("students, at least", ("students_at_least",), "count"),
)


def _map(rows: pd.DataFrame, book: Book) -> Figure:
    cells = rows[rows["grain"] == "topic and week"].sort_values(["topic_position", "week_from"])
    weeks = _weeks(cells)
    words = [f"weeks {text}" if " " in text else f"week {text}" for text in weeks]
    cells = cells.assign(weeks=weeks, when=words)
    table = Table(
        "wrong-by-topic-and-week",
        "Wrong first tries by topic and teaching week, small weeks pooled",
        (Column("topic", ("topic_title",)), Column("weeks", ("weeks",), "word"), *_COUNTS),
        cells,
        left_out=hidden_counts(cells, "rate", "row"),
        made_by=book.sql_file("wrong"),
        folded=True,
    )
    reading = (
        "Weeks that were pooled show the same number. A topic whose weeks are all pooled stands "
        "above only."
    )
    return topic_map(cells, _spread(cells), table, reading)


def _weeks(rows: pd.DataFrame) -> list[str]:
    pairs = zip(rows["week_from"], rows["week_to"], strict=True)
    return [f"{a:.0f}" if a == b else f"{a:.0f} to {b:.0f}" for a, b in pairs]


def _spread(cells: pd.DataFrame) -> pd.DataFrame:
    """One row for each week of a span, for the map alone."""
    rows = [
        {
            "label": row["topic_title"], "week": week, "rate": row["rate"],
            "students": row["students_at_least"], "opportunities": row["answers"],
        }
        for row in cells.to_dict("records")
        for week in range(int(row["week_from"]), int(row["week_to"]) + 1)
    ]  # fmt: skip
    columns = ["label", "week", "rate", "students", "opportunities"]
    return pd.DataFrame(rows, columns=columns)


def _by_week(rows: pd.DataFrame, book: Book) -> Table:
    weeks = rows[rows["grain"] == "week"].sort_values("week_from")
    return Table(
        "wrong-by-week",
        "Wrong first tries by teaching week, all topics",
        (Column("week", ("week_from",), "count"), *_COUNTS),
        weeks,
        left_out=hidden_counts(weeks, "rate", "week"),
        made_by=book.sql_file("wrong"),
        folded=True,
    )


def _how(book: Book) -> Behind:
    return Behind(
        (
            "The likely range is a 95% interval that allows for students who answer many "
            "questions, rounded outward to whole percents.",
            f"A count is hidden when fewer than {book.limit} students stand behind it, behind the "
            "wrong answers in it, or behind the right ones. Weeks are pooled first. Further counts "
            "are hidden so that none of these can be worked out from totals, other tables or "
            "editions that are out already; which ones is chosen by an integer program, and a "
            "linear program that knows every printed table attacks the result before it is "
            "written. Hidden counts of both kinds look alike.",
            "A share near none or all is only said to be near it, such as “5% or less”, since the "
            "exact one would tell of everyone in the group.",
        )
    )
