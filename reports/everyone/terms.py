"""terms.html for everyone: changes between semesters in whole points."""

from __future__ import annotations

import pandas as pd

from reports.pages.cautions import cautions, covers
from reports.pages.term_details import semesters
from reports.pages.terms import (
    DRAWN,
    FEWER,
    HEADINGS,
    MORE,
    OPEN,
    WORDS,
    change_figure,
    compared,
    latest_before,
    terms_finding,
    title_of,
)
from reports.parts import Behind, Page, Part, Prose, Section
from reports.source import Book
from reports.tables import Column
from reports.words import missing

OF = "the share of first tries that were wrong, or that count for the error, in whole points"


def terms_page(book: Book) -> Page:
    """Return the page that compares semesters."""
    rows = _rows(book)
    earlier = latest_before(rows, book)
    now = rows[rows["term_before"] == earlier]
    return Page(
        file="terms.html",
        link="Semesters",
        question="What changed since last time?",
        finding=terms_finding(
            now, title_of(book, earlier), book.term_title, "whatever questions each asked"
        ),
        covers=covers(book),
        sections=(
            *(
                Section(heading, _change(now[now["kind"] == kind], kind, book))
                for kind, heading in HEADINGS.items()
            ),
            Section("All semesters", (semesters(book), _how())),
            cautions(book),
        ),
    )


def _rows(book: Book) -> pd.DataFrame:
    rows = compared(book)
    pairs = zip(rows["difference"], rows["settled"], strict=True)
    stands = pd.Series([_word(*pair) for pair in pairs], index=rows.index, dtype=object)
    return rows.assign(stands=stands, settled=stands.isin([FEWER, MORE]))


def _word(difference: float, settled: object) -> str | None:
    if missing(difference):
        return None
    if missing(settled) or not bool(settled):
        return OPEN
    return FEWER if difference < 0 else MORE


def _change(rows: pd.DataFrame, kind: str, book: Book) -> tuple[Part, ...]:
    if rows.empty:
        return (Prose((f"No {WORDS[kind]} can be compared yet.",)),)
    told = rows[~rows["general"].astype(bool)].dropna(subset=["difference"])
    drawn = _most_common(told, kind, book).sort_values("difference")
    table = book.table(
        "term_comparison",
        f"change-by-{kind}",
        f"{HEADINGS[kind]}, whatever was asked",
        (
            Column("compared", ("label",)),
            Column("change in points", ("difference",), "points"),
            Column("likely range", ("difference_low", "difference_high"), "points range"),
            Column("which way", ("stands",), "word"),
        ),
        pd.concat([drawn, rows.drop(index=drawn.index).sort_values("difference")]),
        first=len(drawn),
    )
    return (change_figure(drawn, kind, OF, table),)


def _most_common(told: pd.DataFrame, kind: str, book: Book) -> pd.DataFrame:
    """Choose by how common, not by how much changed: large changes would be chosen by chance."""
    view, key = ("wrong", "topic") if kind == "topic" else ("pattern_prevalence", "pattern")
    now = book.current(view)
    now = now[now["topic"] != ""] if kind == "topic" else now[now["topic"] == ""]
    rates = now.set_index(key)["rate"]
    order = told["subject"].map(rates).sort_values(ascending=False, kind="stable")
    return told.loc[order.index[:DRAWN]]


def _how() -> Behind:
    return Behind(
        (
            "A change is the difference of two shares that are printed, whatever questions each "
            "semester asked; the own edition compares common questions. Its likely range combines "
            "theirs (method 10 of Newcombe), rounded outward to whole points; a change counts as "
            "settled where the range leaves out zero.",
            "A change is shown only where the topic or error may be shown in both semesters. "
            "Different students sit in different semesters, so a change is not the effect of "
            "teaching.",
        )
    )
