"""Whether an error is that of one class section or of all: the answer in words, and as a map."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import pandas as pd

from reports.charts import ranked
from reports.pages.grids import errors_by_section
from reports.parts import Figure
from reports.source import Book
from reports.tables import CHANCES, Column
from reports.words import counted, joined, missing, percent, rate_words, setting_words, short_label

NAMED = 4
"""Class sections up to which each is named in the sentence."""
LISTED, DRAWN = 12, 4
"""Errors in the map, and in its chart, which has a row for each class section."""


def section_words(pattern: str, book: Book) -> str:
    """Say in which class sections an error is common, and where most; empty without sections."""
    said = "; ".join(_told(_sections(pattern, book)))
    return f"{said[:1].upper()}{said[1:]}." if said else ""


def section_map(order: Sequence[str], book: Book) -> Figure | None:
    """Return the map of the first errors by class section; nothing where there are not several.

    Args:
        order: the errors in the order of the next lesson.
        book: the course's numbers.
    """
    rows = book.current("error_by_section")
    place = {pattern: at for at, pattern in enumerate(order[:LISTED])}
    rows = rows[rows["pattern"].isin(place)]
    if rows["rate"].isna().all():
        return None
    labels = rows["pattern"].map(short_label)
    rows = rows.assign(label=labels, place=rows["pattern"].map(place)).drop(columns="pattern")
    rows = rows.sort_values(["place", "section"])
    title = _section_title(rows)
    drawn = rows[rows["place"] < DRAWN]
    return Figure(
        name="errors-by-section",
        title=title,
        chart=ranked(drawn.assign(label=drawn["label"] + ", section " + drawn["section"]), title),
        says=f"How common each error is in each class section. {title}",
        longer=(
            "One row for each error, in the order of the next lesson, one column for each class "
            f"section, over the whole semester in {setting_words(book.setting)}. Under each share "
            "stands how many chances it is of. An empty cell has too few students to be shown. "
            "Nothing here says why sections differ: students choose their hour."
        ),
        table=book.table(
            "error_by_section",
            "errors-by-section",
            "The first errors by class section",
            (
                Column("error", ("label",)),
                Column("section", ("section",)),
                *CHANCES,
            ),
            rows,
            folded=True,
        ),
        grid=errors_by_section(rows),
    )


def _section_title(rows: pd.DataFrame) -> str:
    """Name the first error that is clearly more or less common in one class section."""
    apart = rows.dropna(subset=["beside"])
    if apart.empty:
        return "No error is clearly more common in one class section than in the others"
    top = apart.iloc[0]
    rate = rate_words(top["rate"], top["rate_low"], top["rate_high"], int(top["opportunities"]))
    return f"“{top['label']}” is {top['beside']} common in section {top['section']}: {rate}"


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
