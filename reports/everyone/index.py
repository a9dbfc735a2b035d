"""index.html for everyone: right and wrong first tries by topic."""

from __future__ import annotations

from collections.abc import Sequence

import pandas as pd

from reports.pages.cautions import cautions, covers
from reports.pages.changed_counts import FIGURES, dated, how_perturbed
from reports.pages.maps import topic_rates
from reports.parts import Figure, Links, Page, Section
from reports.source import Book
from reports.tables import Column
from reports.words import percent, span


def index_page(book: Book, others: Sequence[Page]) -> Page:
    """Return the first page, which sums up `others`."""
    rows = dated(book.current("wrong"))
    links = Links(tuple((page.file, page.link, page.finding) for page in others))
    return Page(
        file="index.html",
        link="Overview",
        question=f"What do {book.answers_of_term} show?",
        finding=_finding(rows),
        covers=covers(book),
        sections=(
            Section("In one sentence each", (links,)),
            Section("Which topics", (_by_topic(rows, book), how_perturbed(book))),
            cautions(book),
        ),
    )


def _finding(rows: pd.DataFrame) -> str:
    whole = rows[(rows["grain"] == "term") & rows["rate"].notna()]
    if whole.empty:
        return "There are not enough answers yet to be shown to everyone."
    row = whole.iloc[0]
    rate = span(row["rate_low"], row["rate_high"])
    return (
        f"About {row['wrong']:,.0f} of {row['answers']:,.0f} first tries were wrong: "
        f"{percent(row['rate'])}, likely {rate}."
    )


def _by_topic(rows: pd.DataFrame, book: Book) -> Figure:
    topics = rows[rows["grain"] == "topic"].sort_values("topic_position")
    table = book.table(
        "wrong",
        "wrong-by-topic",
        "Wrong first tries by topic",
        (
            Column("topic", ("topic_title",)),
            Column("wrong", ("printed",), "printed"),
            *FIGURES,
            Column("first tries, about", ("answers",), "count"),
            Column("wrong first tries, about", ("wrong",), "count"),
        ),
        topics,
    )
    return topic_rates(topics, table)
