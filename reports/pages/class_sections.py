"""Whether an error is that of one class section or of all: the answer in words, and its table."""

from __future__ import annotations

from collections.abc import Iterator

import pandas as pd

from reports.source import Book
from reports.tables import Column, Table, hidden_rows
from reports.words import counted, joined, missing, percent, quoted

NAMED = 4
"""Class sections up to which each is named in the sentence."""


def section_words(pattern: str, book: Book) -> str:
    """Say in which class sections an error is common, and where most; empty without sections."""
    said = "; ".join(_told(_sections(pattern, book)))
    return f"{said[:1].upper()}{said[1:]}." if said else ""


def section_table(pattern: str, book: Book) -> Table | None:
    """Return the figures of an error section by section; nothing without sections."""
    rows = _sections(pattern, book)
    if rows.empty:
        return None
    return Table(
        f"sections-of-{'-'.join(pattern.split(' / '))}",
        f"{quoted(pattern)} by class section",
        (
            Column("section", ("section",)),
            Column("how common", ("rate",), "percent"),
            Column("likely range", ("rate_low", "rate_high"), "range"),
            Column("chances to show it", ("opportunities",), "count"),
            Column("students", ("students",), "count"),
        ),
        rows,
        left_out=hidden_rows(rows),
        made_by=book.sql_file("error_by_section"),
    )


def _sections(pattern: str, book: Book) -> pd.DataFrame:
    rows = book.current("error_by_section")
    return rows[rows["pattern"] == pattern].sort_values("section").reset_index(drop=True)


def _told(rows: pd.DataFrame) -> Iterator[str]:
    """The parts of the sentence: where most or least, where common, rare, open and hidden."""
    apart = rows.dropna(subset=["beside"]).sort_values("beside", ascending=False)
    for row in apart.head(1).to_dict("records"):
        yield f"{row['beside']} in section {row['section']}"
    common = rows[rows["standing"] == "common"]
    if len(common):
        each = "each: " if len(common) == len(rows) else ""
        yield f"common in {each}{_named(common, len(rows))}"
    if len(common) > 1 and apart.empty:
        yield "in none clearly more than in another"
    for standing, words in (("rare", "hardly made in"), (None, "too few answers to say for")):
        mine = rows[rows["rate"].notna() & (rows["standing"].fillna("") == (standing or ""))]
        if len(mine):
            yield f"{words} {_named(mine, len(rows))}"
    hidden = rows[rows["rate"].isna()]
    if len(hidden):
        yield f"no figures for {_named(hidden, len(rows))}"


def _named(some: pd.DataFrame, every: int) -> str:
    """Sections with their rates; how many where a sentence cannot hold all."""
    if every > NAMED:
        return f"{len(some):,} of {counted(every, 'section')}"
    return joined(
        str(row["section"]) + ("" if missing(row["rate"]) else f" ({percent(row['rate'])})")
        for row in some.to_dict("records")
    )
